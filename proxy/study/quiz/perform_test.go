package quiz

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/habits"
	"swellbox/expr/meter"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/study/audition"
	"swellbox/proxy/study/demo"
	"swellbox/proxy/study/loudness"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.3f, want %.3f ± %g", what, got, want, tol)
	}
}

// first is the first question that could be asked about a score: its two sides and what
// the synthesiser gets for them.
func first(t *testing.T, s *Score, skill *Skill, amount float64) (about *Subject, asked, other []expr.Event, sides [2]Side) {
	t.Helper()
	d, err := NewDrill(s, skill)
	if err != nil {
		t.Fatal(err)
	}
	c := &d.choices[0]
	sides[0], sides[1] = skill.Sides(&c.subject, amount)
	var events [2][]expr.Event
	for i, side := range sides {
		if events[i], err = s.perform(c.passage, side, c.subject.Heard); err != nil {
			t.Fatal(err)
		}
	}
	return &c.subject, events[0], events[1], sides
}

// reading is what a meter reads of a part over time.
type reading struct{ levels, vibrato []float64 }

func read(s *Score, part int, side Side, events []expr.Event) (r reading) {
	p := &s.parts[part]
	m := meter.New(s.ports)
	m.Seat(p.Port, p.Channel, side.profile(part, p.Instrument))
	for i := range events {
		m.Take(&events[i])
		if level, sounds := m.Level(p.Port, p.Channel); sounds {
			r.levels = append(r.levels, level)
			r.vibrato = append(r.vibrato, m.Vibrato(p.Port, p.Channel))
		}
	}
	return r
}

// The amounts that the listener is told reach the sampler.
func TestAmounts(t *testing.T) {
	violin := score(t, line("Violin", 0, 80, 1920, 69))
	for _, cents := range []float64{1, 7, 50, 100} {
		_, asked, other, sides := first(t, violin, vibrato, cents)
		near(t, "the widest vibrato, cents", slices.Max(read(violin, 0, sides[0], asked).vibrato), cents, .01)
		near(t, "the vibrato of the other take, cents", slices.Max(read(violin, 0, sides[1], other).vibrato), 0, 0)
	}
	for _, dB := range []float64{.25, 3, 9} {
		for _, velocity := range []byte{24, 33, 80, 112} {
			s := score(t, line("Violin", 0, velocity, 1920, 69))
			_, asked, other, sides := first(t, s, swell, dB)
			r := read(s, 0, sides[0], asked).levels
			near(t, fmt.Sprintf("the rise at velocity %d, dB", velocity), slices.Max(r)-r[0], dB, .02)
			near(t, "the fall, dB", slices.Max(r)-r[len(r)-1], dB, .02)
			flat := read(s, 0, sides[1], other).levels
			near(t, "the movement of the other take, dB", slices.Max(flat)-slices.Min(flat), 0, .001)
		}
	}
	for _, dB := range []float64{.25, 3, 6} {
		s := score(t, line("Horn", 0, 96, 240, 60), line("Trumpet", 1, 96, 240, 69)) // 96 is f
		_, asked, other, sides := first(t, s, brassWeight, dB)
		near(t, "the trumpet's gain, dB", read(s, 1, sides[0], asked).levels[0]-read(s, 1, sides[1], other).levels[0], dB, .02)
		near(t, "the horn's gain, dB", read(s, 0, sides[0], asked).levels[0]-read(s, 0, sides[1], other).levels[0], 0, 0)
	}
}

// loudnessOf is how loud some parts of a performance are by themselves, half a second in.
func (s *Score) loudnessOf(t *testing.T, events []expr.Event, parts []int) float64 {
	t.Helper()
	var stage []audition.Part
	for _, i := range parts {
		p := &s.parts[i]
		stage = append(stage, audition.Part{Port: p.Port, Channel: p.Channel, Instrument: p.Voice, Family: p.Instrument.Family})
	}
	take, err := audition.Render(t.Context(), stage, events, passageLength, nil)
	if err != nil {
		t.Fatal(err)
	}
	m, err := loudness.Measure(take.Left, take.Right, audition.SampleRate)
	if err != nil {
		t.Fatal(err)
	}
	return m.Momentary[5]
}

// The family rises over the rest by what the listener is told, in sound, whatever
// channel volumes the score has.
func TestManyBalancesInSound(t *testing.T) {
	quiet := line("Oboe", 1, 80, 960, 69, 71)
	quiet.Events = slices.Insert(quiet.Events, 1,
		smf.Event{Data: []byte{0xB1, 7, 80}}, smf.Event{Data: []byte{0xB1, 39, 64}})
	for name, s := range map[string]*Score{
		"plain":        score(t, line("Violin", 0, 80, 960, 69, 71), line("Oboe", 1, 80, 960, 69, 71)),
		"with volumes": score(t, line("Violin", 0, 80, 960, 69, 71), quiet),
	} {
		for _, dB := range []float64{.25, 12} {
			about, asked, other, _ := first(t, s, balance, dB)
			rest := slices.DeleteFunc(slices.Clone(about.Heard), func(i int) bool { return slices.Contains(about.Parts, i) })
			if len(rest) != 1 || len(about.Parts) != 1 {
				t.Fatalf("asked about %+v", about)
			}
			family := s.loudnessOf(t, asked, about.Parts) - s.loudnessOf(t, other, about.Parts)
			others := s.loudnessOf(t, asked, rest) - s.loudnessOf(t, other, rest)
			near(t, fmt.Sprintf("%s: how far %s rise over the rest, dB", name, about.Words), family-others, dB, .02)
		}
	}
}

// At no amount the takes of a skill do not differ.
func TestNothingDiffersAtNothing(t *testing.T) {
	s := scoreOf(t, demo.Score())
	for _, skill := range Skills {
		_, asked, other, _ := first(t, s, skill, 0)
		if !slices.EqualFunc(asked, other, func(a, b expr.Event) bool { return a.At == b.At && a.Msg == b.Msg && a.Port == b.Port }) {
			t.Errorf("%s: takes that differ by nothing are not the same", skill.Name)
		}
		_, asked, other, _ = first(t, s, skill, skill.Scale.Start)
		if slices.EqualFunc(asked, other, func(a, b expr.Event) bool { return a.At == b.At && a.Msg == b.Msg && a.Port == b.Port }) {
			t.Errorf("%s: takes that are to differ plainly are the same", skill.Name)
		}
	}
}

// Raw against shaped, the raw take has nothing of any habit, and the shaped one as much of each as
// is asked.
func TestAmountsAreScaled(t *testing.T) {
	whole := &expr.Profile{Bloom: expr.Bloom{LongNotes: 1}}
	for _, about := range habits.All() {
		whole.Amounts.Set(about.Key, 1)
	}
	half, none := rawOrShaped.Sides(&Subject{Parts: []int{0}}, 0.5)
	shaped, untouched := half.profile(0, whole), none.profile(0, whole)
	for _, about := range habits.All() {
		if got := shaped.Amounts.Of(about.Key); got != 0.5 {
			t.Errorf("half of %s is %g", about.Name, got)
		}
	}
	if !raw(untouched) || untouched.Bloom.LongNotes != 0 || shaped.Bloom.LongNotes != 0.5 || whole.Amounts.Of("phrase") != 1 {
		t.Errorf("raw: %+v; half: %+v; as it was: %+v", untouched.Bloom, shaped.Bloom, whole.Amounts)
	}
}

// Players phrase and accent in the one take that asks for all of it, and in no other.
func TestOneThingAtATime(t *testing.T) {
	violin := &expr.Profile{Amounts: expr.Amounts{}.With("phrase", 1).With("accent", 1).With("articulation", 1)}
	about := &Subject{Parts: []int{0}}
	for _, skill := range Skills {
		asked, other := skill.Sides(about, skill.Scale.Start)
		for i, side := range []Side{asked, other} {
			on := side.profile(0, violin).Amounts.Of("phrase") != 0
			if want := skill == rawOrShaped && i == 0; on != want {
				t.Errorf("%s, take %d: habits on: %v, want %v", skill.Name, i+1, on, want)
			}
		}
	}
}

// What lies raw is as the score has it, only as far down as what is shaped.
func TestRawSide(t *testing.T) {
	s := score(t, line("Violin", 0, 80, 960, 69, 71))
	_, _, other, _ := first(t, s, rawOrShaped, 1)
	want := []expr.Event{
		expr.Short(0, 0, 0x90, 69, 45), expr.Short(time.Second, 0, 0x80, 69, 0), // 40·log10(45/80) = -10 dB
		expr.Short(time.Second, 0, 0x90, 71, 45), expr.Short(2*time.Second, 0, 0x80, 71, 0),
	}
	var notes []expr.Event
	for _, e := range other {
		if e.IsNoteOn() || e.IsNoteOff() {
			notes = append(notes, e)
		}
	}
	if len(notes) != len(want) {
		t.Fatalf("%d notes' starts and ends, want %d", len(notes), len(want))
	}
	for i, e := range notes {
		if e.At != want[i].At || e.Msg[0]&0xF0 != want[i].Msg[0]&0xF0 || e.Msg[1] != want[i].Msg[1] || e.IsNoteOn() && e.Msg[2] != want[i].Msg[2] {
			t.Errorf("event %d is %v at %v, want %v at %v", i, e.Msg, e.At, want[i].Msg, want[i].At)
		}
	}
}

// A passage takes up the controllers of the bars before it, leaves their notes, and ends
// its own.
func TestPassageStandsAlone(t *testing.T) {
	l := line("Violin", 0, 80, 1920, 60, 62, 64)
	l.Events[2].Tick = 2400 // the first note hangs over into the second bar
	l.Events[4].Tick = 9000 // and the second over the end of the third
	l.Events = append([]smf.Event{l.Events[0], {Tick: 100, Data: []byte{0xB0, 64, 127}}}, l.Events[1:]...)
	slices.SortStableFunc(l.Events, func(a, b smf.Event) int { return int(a.Tick - b.Tick) })
	l.End = 9000
	s := score(t, l)
	p := Passage{From: 2 * time.Second, To: 4 * time.Second}
	events, err := s.perform(p, Side{Play: func(_ int, p *expr.Profile) {
		p.Amounts = expr.Amounts{}
	}}, []int{0})
	if err != nil {
		t.Fatal(err)
	}
	pedal, balance := false, map[byte]int{}
	for _, e := range events {
		switch {
		case e.At < 0 || e.At > p.To-p.From:
			t.Errorf("%v at %v", e.Msg, e.At)
		case e.IsNoteOn():
			balance[e.Msg[1]]++
		case e.IsNoteOff():
			balance[e.Msg[1]]--
		case e.Msg[0] == 0xB0 && e.Msg[1] == 64:
			pedal = e.Msg[2] == 127 && e.At == 0
		}
	}
	if !pedal || len(balance) != 1 || balance[62] != 0 {
		t.Errorf("pedal at the start: %v, notes and their ends %v; want true and one whole note 62", pedal, balance)
	}
}
