package evidence

import (
	"cmp"
	"slices"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/expr/habits"
	"swellbox/profiles"
	"swellbox/proxy/perform"
)

// study is a small score for one measurement: a part for each profile, in 4/4 at 120
// quarter notes a minute.
type study struct {
	profiles []*expr.Profile
	notes    []expr.Written
}

const studyBar = 2 * time.Second

// newStudy begins a score for players of built-in profiles, which are copies and may be
// changed.
func newStudy(t *testing.T, names ...string) *study {
	t.Helper()
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	s := &study{}
	for _, name := range names {
		p, err := lib.Resolve(name)
		if err != nil {
			t.Fatal(err)
		}
		own := *p
		s.profiles = append(s.profiles, &own)
	}
	return s
}

// note writes a note at a velocity of mf unless another is given.
func (s *study) note(part int, at, length time.Duration, key int, marks expr.Marks) *expr.Written {
	const quarter = float64(studyBar / 4)
	s.notes = append(s.notes, expr.Written{
		On: at, Off: at + length, Beat: float64(at) / quarter, Length: float64(length) / quarter,
		Part: uint16(part), Channel: uint8(part), Key: uint8(key), Velocity: 80, Staff: 1, Marks: marks,
	})
	return &s.notes[len(s.notes)-1]
}

// score is the study in order.
func (s *study) score() *expr.Score {
	slices.SortStableFunc(s.notes, func(a, b expr.Written) int {
		return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Channel, b.Channel), cmp.Compare(a.Key, b.Key))
	})
	score := &expr.Score{Notes: s.notes}
	for i := range s.notes {
		score.End = max(score.End, s.notes[i].Off)
	}
	for at := time.Duration(0); at < score.End; at += studyBar {
		n := len(score.Bars)
		score.Bars = append(score.Bars, expr.Bar{At: at, Beat: float64(4 * n), Number: n + 1, Beats: 4, Unit: 4})
	}
	for range s.profiles {
		score.Parts = append(score.Parts, "")
	}
	return score
}

// played is a note as it left, in the order of the score.
type played struct {
	expr.Written
	on, off  time.Duration // the lookahead taken out
	velocity uint8
}

// late is by how much the note began after its written time, in ms.
func (p *played) late() float64 { return ms(p.on - p.On) }

func ms(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

// manner is how a study is played. Only names the habits; nil means all.
type manner struct {
	perform.Manner
	unread bool // the score is not known to the players
}

// perform plays a study, and gives its notes and all messages that left, their times
// without the lookahead.
func (s *study) perform(t *testing.T, m manner) ([]played, []expr.Event) {
	t.Helper()
	chosen, unknown := habits.Choose(habits.Usual(), m.Only, nil)
	if unknown != "" {
		t.Fatalf("no habit is called %s", unknown)
	}
	var out []expr.Event
	p := perform.NewPerformance(engine.Config{
		Sides: expr.Shaped, Habits: chosen, Lookahead: m.Lookahead, Rubato: m.Rubato, Seed: m.Seed,
		HeadroomDB: expr.DefaultHeadroomDB, CeilingDB: expr.DefaultCeilingDB,
	}, func(e *expr.Event) {
		late := *e
		late.At -= m.Lookahead
		out = append(out, late)
	})
	for i, profile := range s.profiles {
		if err := p.Seat(0, i, profile, 0); err != nil {
			t.Fatal(err)
		}
	}
	score := s.score()
	if !m.unread {
		p.Engine().Load(score)
	}
	for _, e := range input(score) {
		p.Push(e)
	}
	p.Pull(score.End + 2*m.Lookahead + time.Second)
	return pair(t, score.Notes, out), out
}

// input is a score as a notation program plays it. What ends at a moment comes before what
// begins then.
func input(score *expr.Score) []expr.Event {
	var in []expr.Event
	for i := range score.Notes {
		n := &score.Notes[i]
		on := expr.Short(n.On, n.Port, 0x90|n.Channel, n.Key, n.Velocity)
		on.Note = int32(i + 1)
		in = append(in, on, expr.Short(n.Off, n.Port, 0x80|n.Channel, n.Key, 64))
	}
	slices.SortStableFunc(in, func(a, b expr.Event) int {
		return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Msg[0]&0xF0, b.Msg[0]&0xF0))
	})
	return in
}

// pair finds for each note of a score the note-on and the note-off that left for it.
func pair(t *testing.T, notes []expr.Written, out []expr.Event) []played {
	t.Helper()
	waiting := map[[2]uint8][]int{} // for their start
	sounding := map[[2]uint8][]int{}
	all := make([]played, len(notes))
	for i := range notes {
		n := &notes[i]
		all[i].Written = *n
		key := [2]uint8{n.Channel, n.Key}
		waiting[key] = append(waiting[key], i)
	}
	take := func(from map[[2]uint8][]int, e *expr.Event) int {
		key := [2]uint8{uint8(e.Channel()), e.Msg[1]}
		if len(from[key]) == 0 {
			t.Fatalf("% X at %v belongs to no note", e.Bytes(), e.At)
		}
		i := from[key][0]
		from[key] = from[key][1:]
		return i
	}
	ended := 0
	for k := range out {
		switch e := &out[k]; {
		case e.IsNoteOn():
			i := take(waiting, e)
			all[i].on, all[i].velocity = e.At, e.Msg[2]
			key := [2]uint8{uint8(e.Channel()), e.Msg[1]}
			sounding[key] = append(sounding[key], i)
		case e.IsNoteOff():
			all[take(sounding, e)].off = e.At
			ended++
		}
	}
	if ended != len(all) {
		t.Fatalf("%d of %d notes were played to their end", ended, len(all))
	}
	return all
}
