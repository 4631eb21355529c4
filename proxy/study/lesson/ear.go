package lesson

import (
	"context"
	"encoding/base64"
	"fmt"
	"html/template"
	"math"
	"math/rand/v2"
	"time"

	"swellbox/proxy/formats/mp3"
	"swellbox/proxy/study/audition"
	"swellbox/proxy/study/demo"
	"swellbox/proxy/study/quiz"
)

// Ear is what is asked in the page: of each skill from what is heard easily to what is not.
type Ear struct {
	Skills    []string // all that the piece has something to ask about, if nil
	Questions int      // of each skill; 0: nothing is asked
	Seed      uint64   // another number asks about other bars, in another order
}

// harder is the amount of a question as a share of that of the one before: five of them lead from what everybody hears to
// what few do. Ours.
const harder = 0.55

// ask makes the questions.
func (l *Lesson) ask(ctx context.Context, a *Asked) error {
	if a.Ear.Questions == 0 {
		return nil
	}
	score, err := quiz.NewScore(a.Piece.File, demo.Pan)
	if err != nil {
		return err
	}
	drills, err := drillsOf(score, a.Ear.Skills)
	if err != nil {
		return err
	}
	rng := rand.New(rand.NewPCG(a.Ear.Seed, 0))
	show, end := a.progress("asking", len(drills)*a.Ear.Questions, time.Second)
	defer func() { end(err) }()
	for n := range a.Ear.Questions {
		for _, d := range drills {
			var q *quiz.Question
			amount := math.Max(d.Skill.Scale.Start*math.Pow(harder, float64(n)), d.Skill.Scale.Floor)
			if q, err = d.Ask(ctx, amount, rng); err != nil {
				return err
			}
			l.Questions = append(l.Questions, &Question{
				Skill: d.Skill.Name, About: d.Skill.About, Unit: d.Skill.Unit, Amount: math.Round(amount*100) / 100,
				Words: q.Words(), Explanation: q.Explanation(), Answer: q.Answer.String(), takes: q.Takes(),
			})
			show(len(l.Questions), 0)
		}
	}
	return nil
}

// drillsOf are the named skills, or all that the score has something to ask about.
func drillsOf(score *quiz.Score, names []string) (drills []*quiz.Drill, err error) {
	for _, name := range names {
		skill, err := quiz.SkillNamed(name)
		if err != nil {
			return nil, err
		}
		d, err := quiz.NewDrill(score, skill)
		if err != nil {
			return nil, err
		}
		drills = append(drills, d)
	}
	if names != nil {
		return drills, nil
	}
	for _, skill := range quiz.Skills {
		if d, err := quiz.NewDrill(score, skill); err == nil {
			drills = append(drills, d)
		}
	}
	if drills == nil {
		return nil, fmt.Errorf("nothing in this piece can be asked about; leave the questions out")
	}
	return drills, nil
}

// encodeQuestions makes MP3 of both takes of each, as loud as they were made.
func (l *Lesson) encodeQuestions(ctx context.Context, e *mp3.Encoder) error {
	for _, q := range l.Questions {
		for i, take := range q.takes {
			b, err := e.Encode(ctx, l.channels(take, 1), audition.SampleRate, l.Kbps)
			if err != nil {
				return err
			}
			q.Audio[i], q.takes[i] = template.HTML(base64.StdEncoding.EncodeToString(b)), nil
		}
	}
	return nil
}
