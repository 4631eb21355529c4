package quiz

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"

	"swellbox/profiles/atomicfile"
	"swellbox/proxy/study/audition"
	"swellbox/proxy/study/loudness"
)

// LevelLKFS is the integrated loudness of every take, unless its peaks would pass
// [PeakDB] dB re full scale: then both takes of the question are brought down together.
// It is the target level of EBU R 128, from memory.
const (
	LevelLKFS = -23
	PeakDB    = -1
	// peakRoomDB leaves room for the dither of the file.
	peakRoomDB = .05
)

// Drill asks about one skill in one score.
type Drill struct {
	Skill   *Skill
	score   *Score
	choices []choice
}

type choice struct {
	passage Passage
	subject Subject
}

// NewDrill finds what can be asked. A score that has nothing to ask about is an error.
func NewDrill(s *Score, skill *Skill) (*Drill, error) {
	d := &Drill{Skill: skill, score: s}
	for _, p := range s.passages {
		for _, about := range skill.Subjects(s, p) {
			d.choices = append(d.choices, choice{p, about})
		}
	}
	if len(d.choices) == 0 {
		return nil, fmt.Errorf("nothing in this score can be asked about %s (%s); try another score or skill", skill.Name, skill.About)
	}
	return d, nil
}

// Drills ask about the named skills, or all that a score has something to ask about if names is nil.
func Drills(score *Score, names []string) ([]*Drill, error) {
	var drills []*Drill
	for _, name := range names {
		skill, err := SkillNamed(name)
		if err != nil {
			return nil, err
		}
		d, err := NewDrill(score, skill)
		if err != nil {
			return nil, err
		}
		drills = append(drills, d)
	}
	if names != nil {
		return drills, nil
	}
	for _, skill := range Skills {
		if d, err := NewDrill(score, skill); err == nil {
			drills = append(drills, d)
		}
	}
	if drills == nil {
		return nil, errors.New("nothing in this score can be asked about: it has no long notes of instruments that hold them, and no two families together; try another")
	}
	return drills, nil
}

// Question is two takes of one loudness, and which of them is asked for.
type Question struct {
	Skill   *Skill
	Passage Passage
	About   Subject
	Amount  float64 // by which the takes differ, in the skill's unit
	Answer  Take    // the right one
	LKFS    float64 // integrated loudness of both
	takes   [2]*audition.Take
}

// Take is the name of one of the two takes of a question.
type Take uint8

const (
	A Take = iota
	B
)

func (t Take) String() string { return string(rune('A' + t)) }

// attempts is how many passages are tried to find one that sounds.
const attempts = 8

// Ask makes a question at an amount. Everything about it that the listener does not
// choose comes from rng.
func (d *Drill) Ask(ctx context.Context, amount float64, rng *rand.Rand) (*Question, error) {
	for range attempts {
		q := d.choose(amount, rng)
		sides := [2]Side{}
		sides[q.Answer], sides[1-q.Answer] = d.Skill.Sides(&q.About, amount)
		audible, err := q.record(ctx, d.score, sides)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", q.Passage, err)
		}
		if audible {
			return q, nil
		}
	}
	return nil, fmt.Errorf("%d passages of the score were tried, and none makes a sound; is a volume in it at 0?", attempts)
}

// choose leaves to rng what is asked, and which take is the right one.
func (d *Drill) choose(amount float64, rng *rand.Rand) *Question {
	c := &d.choices[rng.IntN(len(d.choices))]
	return &Question{Skill: d.Skill, Passage: c.passage, About: c.subject, Amount: amount, Answer: Take(rng.IntN(2))}
}

// record renders both takes and brings them to one loudness. It reports whether
// there is anything to hear.
func (q *Question) record(ctx context.Context, s *Score, sides [2]Side) (audible bool, err error) {
	var loud, peaks [2]float64
	for i, side := range sides {
		if q.takes[i], err = s.render(ctx, q.Passage, side, q.About.Heard); err != nil {
			return false, err
		}
		m, err := loudness.Measure(q.takes[i].Left, q.takes[i].Right, audition.SampleRate)
		if err != nil {
			return false, err
		}
		if math.IsInf(m.Integrated, -1) {
			return false, nil
		}
		loud[i], peaks[i] = m.Integrated, 20*math.Log10(q.takes[i].Peak())
	}
	q.LKFS = common(loud, peaks)
	for i, t := range q.takes {
		scale(t, q.LKFS-loud[i])
	}
	return true, nil
}

// common is the loudness to which two takes are brought, from the loudness of each in
// LKFS and its peak in dB re full scale.
func common(loud, peaks [2]float64) float64 {
	lkfs := float64(LevelLKFS)
	for i := range loud {
		lkfs = min(lkfs, loud[i]+PeakDB-peakRoomDB-peaks[i])
	}
	return lkfs
}

func scale(t *audition.Take, dB float64) {
	g := float32(math.Pow(10, dB/20))
	for _, x := range [][]float32{t.Left, t.Right} {
		for i := range x {
			x[i] *= g
		}
	}
}

// Files are the names of the takes, in the folder that they are written to.
var Files = [2]string{"A.wav", "B.wav"}

// Write writes both takes into a folder, which is made if need be.
func (q *Question) Write(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("the folder for the takes cannot be made: %w", err)
	}
	for i, t := range q.takes {
		err := atomicfile.WriteSeek(filepath.Join(dir, Files[i]), func(f io.WriteSeeker) error { return t.WriteWAV(f, 1) })
		if err != nil {
			return err
		}
	}
	return nil
}

// Takes are both takes, at the level at which they are to be heard.
func (q *Question) Takes() [2]*audition.Take { return q.takes }

// Words is the question itself.
func (q *Question) Words() string { return q.Skill.Question(&q.About) }

// Explanation says what differed, and what to listen for.
func (q *Question) Explanation() string {
	return q.Skill.Difference(&q.About, q.Amount, q.Answer.String()) + ".\n" + q.Skill.Hint
}
