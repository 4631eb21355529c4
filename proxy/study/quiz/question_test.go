package quiz

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/go-audio/wav"

	"swellbox/proxy/formats/smf"
	"swellbox/proxy/study/audition"
	"swellbox/proxy/study/demo"
	"swellbox/proxy/study/loudness"
)

// trio is a score that every skill can ask about, in parts so few that it is soon
// rendered.
func trio(t testing.TB) *Score {
	return score(t,
		line("Violin", 0, 96, 1920, 69, 71, 72, 74),
		line("Oboe", 1, 96, 1920, 72, 74, 76, 77),
		line("Trumpet", 2, 96, 1920, 64, 67, 67, 65))
}

func ask(t testing.TB, s *Score, skill *Skill, amount float64, seed uint64) *Question {
	t.Helper()
	d, err := NewDrill(s, skill)
	if err != nil {
		t.Fatal(err)
	}
	q, err := d.Ask(t.Context(), amount, rand.New(rand.NewPCG(seed, 0)))
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// opening is the first question about each skill, in the order of Skills, of a trio. They are played
// once, as that takes a while with the race detector, and not to be changed.
func opening(t *testing.T) (*Score, []*Question) {
	t.Helper()
	theOpening.once.Do(func() {
		s := trio(t)
		var all []*Question
		for seed, skill := range Skills {
			all = append(all, ask(t, s, skill, skill.Scale.Start, uint64(seed)))
		}
		theOpening.score, theOpening.questions = s, all
	})
	if theOpening.score == nil {
		t.Fatal("the questions could not be asked")
	}
	return theOpening.score, theOpening.questions
}

var theOpening struct {
	once      sync.Once
	score     *Score
	questions []*Question
}

// onDisk is what a file of a take holds, full scale being 1.
func onDisk(t *testing.T, path string) (left, right []float32) {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	pcm, err := wav.NewDecoder(bytes.NewReader(b)).FullPCMBuffer()
	if err != nil {
		t.Fatal(err)
	}
	if pcm.Format.SampleRate != audition.SampleRate || pcm.Format.NumChannels != 2 || pcm.SourceBitDepth != 16 {
		t.Fatalf("%s has the format %+v with %d bits", path, pcm.Format, pcm.SourceBitDepth)
	}
	for i := 0; i < len(pcm.Data); i += 2 {
		left, right = append(left, float32(pcm.Data[i])/32768), append(right, float32(pcm.Data[i+1])/32768)
	}
	return left, right
}

func peakDB(channels ...[]float32) float64 {
	top := 0.0
	for _, x := range channels {
		for _, v := range x {
			top = max(top, math.Abs(float64(v)))
		}
	}
	return 20 * math.Log10(top)
}

// The takes as a listener gets them: of one length and one loudness, no louder than was
// said, and short.
func TestManyTakesOnDisk(t *testing.T) {
	_, questions := opening(t)
	for i, skill := range Skills {
		q := questions[i]
		dir := filepath.Join(t.TempDir(), "new", "folder")
		if err := q.Write(dir); err != nil {
			t.Fatal(err)
		}
		var loud [2]float64
		var frames [2]int
		for i, name := range Files {
			left, right := onDisk(t, filepath.Join(dir, name))
			m, err := loudness.Measure(left, right, audition.SampleRate)
			if err != nil {
				t.Fatal(err)
			}
			loud[i], frames[i] = m.Integrated, len(left)
			if p := peakDB(left, right); p > PeakDB {
				t.Errorf("%s: take %s peaks at %.2f dBFS", skill.Name, name, p)
			}
		}
		near(t, skill.Name+": the loudness of A, LKFS", loud[0], q.LKFS, .05)
		near(t, skill.Name+": how much louder B is, LU", loud[1]-loud[0], 0, .1)
		if q.LKFS > LevelLKFS {
			t.Errorf("%s: %g LKFS, more than %d", skill.Name, q.LKFS, LevelLKFS)
		}
		if longest := (passageLength + ring).Seconds(); frames[0] != frames[1] || float64(frames[0]) > longest*audition.SampleRate {
			t.Errorf("%s: takes of %d and %d frames, want as many and no more than %g s", skill.Name, frames[0], frames[1], longest)
		}
	}
}

// The answer is the take in which the difference is.
func TestManyAnswersAreRight(t *testing.T) {
	s, questions := opening(t)
	for i, skill := range Skills {
		q := questions[i]
		asked, other := skill.Sides(&q.About, q.Amount)
		for _, side := range []struct {
			Side
			take Take
		}{{asked, q.Answer}, {other, 1 - q.Answer}} {
			want, err := s.render(t.Context(), q.Passage, side.Side, q.About.Heard)
			if err != nil {
				t.Fatal(err)
			}
			if d := distance(q.takes[side.take], want); d > 1e-4 {
				t.Errorf("%s: take %v is not the one that it should be, by %g of its power", skill.Name, side.take, d)
			}
		}
	}
}

// distance is how much of a take's power another lacks at the best gain.
func distance(a, b *audition.Take) float64 {
	var aa, bb, ab float64
	for i := range a.Left {
		x, y := float64(a.Left[i]), float64(b.Left[i])
		aa, bb, ab = aa+x*x, bb+y*y, ab+x*y
	}
	return 1 - ab*ab/(aa*bb)
}

// The order tells nothing: over many questions each take is the right one half the
// time, whatever the one before was.
func TestBlind(t *testing.T) {
	s := score(t, line("Violin", 0, 80, 1920, 69))
	d, err := NewDrill(s, vibrato)
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(11, 0))
	const n = 2000
	var answers [2]int
	same := 0
	last := A
	for range n {
		q := d.choose(50, rng)
		answers[q.Answer]++
		if q.Answer == last {
			same++
		}
		last = q.Answer
	}
	if answers[B] < n*45/100 || answers[B] > n*55/100 || same < n*45/100 || same > n*55/100 {
		t.Errorf("of %d answers B was right %d times, and as the one before %d times", n, answers[B], same)
	}
}

func TestManyQuestionsOfOneSeed(t *testing.T) {
	s := trio(t)
	a, b, c := ask(t, s, balance, 3, 5), ask(t, s, balance, 3, 5), ask(t, s, balance, 3, 6)
	if a.Passage != b.Passage || a.Answer != b.Answer || a.About.Words != b.About.Words || !equal(a.takes[0].Left, b.takes[0].Left) {
		t.Error("one seed gives two questions")
	}
	if a.Passage == c.Passage && a.About.Words == c.About.Words && a.Answer == c.Answer {
		t.Error("two seeds give one question")
	}
}

func equal(a, b []float32) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// Where a peak would pass the limit, both takes come down for its sake.
func TestPeaksComeFirst(t *testing.T) {
	for _, c := range []struct {
		loud, peaks [2]float64
		want        float64
	}{
		{[2]float64{-10, -13}, [2]float64{2, -4}, -23},
		{[2]float64{-10, -13}, [2]float64{12, -4}, -23.05},
		{[2]float64{-10, -13}, [2]float64{2, 12}, -26.05},
		{[2]float64{-30, -40}, [2]float64{-20, -20}, -23},
	} {
		near(t, fmt.Sprintf("the loudness of takes of %v LKFS that peak at %v", c.loud, c.peaks), common(c.loud, c.peaks), c.want, 1e-9)
	}
}

// A take at the limit can be written, and stays under it with its dither.
func TestWriteAtTheLimit(t *testing.T) {
	q := ask(t, score(t, line("Violin", 0, 80, 1920, 69)), vibrato, 50, 1)
	dir := t.TempDir()
	for _, take := range q.takes {
		scale(take, PeakDB-peakRoomDB-peakDB(take.Left, take.Right))
	}
	if err := q.Write(dir); err != nil {
		t.Fatal(err)
	}
	for _, name := range Files {
		left, right := onDisk(t, filepath.Join(dir, name))
		if p := peakDB(left, right); p > PeakDB || p < PeakDB-.1 {
			t.Errorf("%s peaks at %.3f dBFS, want just under %d", name, p, PeakDB)
		}
	}
}

// A score that is turned down to nothing is said so.
func TestSilentScore(t *testing.T) {
	l := line("Violin", 0, 80, 1920, 69)
	l.Events = slices.Insert(l.Events, 1, smf.Event{Data: []byte{0xB0, 7, 0}})
	d, err := NewDrill(score(t, l), swell)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := d.Ask(t.Context(), 9, rand.New(rand.NewPCG(1, 1))); err == nil || !strings.Contains(err.Error(), "none makes a sound") {
		t.Errorf("error %v", err)
	}
}

func TestWriteIntoAFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	q := ask(t, score(t, line("Violin", 0, 80, 1920, 69)), vibrato, 50, 1)
	if err := q.Write(path); err == nil || !strings.Contains(err.Error(), path) {
		t.Errorf("error %v", err)
	}
}

// Every skill says what is asked and what differed, by how much, and from where it
// knows what to listen for.
func TestManyWords(t *testing.T) {
	s := trio(t)
	seen := map[string]bool{}
	for _, skill := range Skills {
		if found, err := SkillNamed(skill.Name); err != nil || found != skill || seen[skill.Name] {
			t.Errorf("the name %q finds %v, %v", skill.Name, found, err)
		}
		seen[skill.Name] = true
		if c := skill.Scale; !(c.Floor > 0 && c.Floor < c.Start && c.Start <= c.Top) {
			t.Errorf("%s: a scale of %+v", skill.Name, c)
		}
		q := ask(t, s, skill, skill.Scale.Start, 1)
		if w := q.Words(); !strings.HasSuffix(w, "?") || !strings.Contains(w, "take") {
			t.Errorf("%s asks %q", skill.Name, w)
		}
		e := q.Explanation()
		if !strings.Contains(e, Figure(q.Amount)) || !strings.Contains(e, q.Answer.String()+" ") || !strings.Contains(e, ".\n") {
			t.Errorf("%s explains %q; want the amount %s and the take %v", skill.Name, e, Figure(q.Amount), q.Answer)
		}
	}
	if _, err := SkillNamed("perfect pitch"); err == nil || !strings.Contains(err.Error(), "vibrato") {
		t.Errorf("an unknown skill: %v", err)
	}
}

func TestFigure(t *testing.T) {
	for x, want := range map[float64]string{.05: "0.05", .999: "1.0", 1: "1.0", 9.44: "9.4", 9.99: "10", 10: "10", 99.6: "100"} {
		if got := Figure(x); got != want {
			t.Errorf("%g is written %s, want %s", x, got, want)
		}
	}
}

// BenchmarkAsk is the time from one answer to the next question, of all parts.
func BenchmarkAsk(b *testing.B) {
	d, err := NewDrill(scoreOf(b, demo.Score()), hall)
	if err != nil {
		b.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(1, 0))
	for b.Loop() {
		if _, err := d.Ask(b.Context(), 1, rng); err != nil {
			b.Fatal(err)
		}
	}
}
