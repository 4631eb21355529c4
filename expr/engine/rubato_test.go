package engine

import (
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/expr/habits"
	"swellbox/expr/hearing"
	"swellbox/expr/timing"
)

// paced is a score of eighth notes in phrases of four bars, at so many quarter notes a minute
// in each quarter, with half a bar of rest between them; the last note lasts so many seconds.
func paced(tempos []float64, last float64) *expr.Score {
	s := &expr.Score{Parts: []string{"flute"}}
	at := time.Duration(0)
	for q, tempo := range tempos {
		eighth := time.Duration(30 / tempo * float64(time.Second))
		for i := range 2 {
			if q%16 < 14 || q == len(tempos)-1 {
				s.Notes = append(s.Notes, expr.Written{
					On: at, Off: at + eighth, Beat: float64(q) + float64(i)/2, Length: 0.5,
					Key: uint8(60 + (q%16*5+i*2)%12), Velocity: 80,
				})
			}
			at += eighth
		}
	}
	end := &s.Notes[len(s.Notes)-1]
	end.Off, end.Length = end.On+time.Duration(last*float64(time.Second)), 2
	s.End = end.Off
	return s
}

func steadily(n int, tempo float64) []float64 {
	t := make([]float64, n)
	for i := range t {
		t[i] = tempo
	}
	return t
}

// Who has written a ritard is not given another one, however it is written: over the last bars, by
// little, or on the last note alone.
func TestNoSecondRitard(t *testing.T) {
	const most = 3 * time.Second
	slowing := steadily(32, 120)
	for i := range 4 {
		slowing[28+i] = 120 - 12*float64(i+1)
	}
	little := steadily(32, 120)
	little[30], little[31] = 116, 108
	for _, c := range []struct {
		what   string
		score  *expr.Score
		ritard bool
	}{
		{"in time", paced(steadily(32, 120), 1), true},
		{"slowing down over a bar", paced(slowing, 1), false},
		{"slowing down over two beats", paced(little, 1), false},
		{"the last note held", paced(steadily(32, 120), 2), false},
		{"faster at the end", paced(append(steadily(28, 90), steadily(4, 120)...), 1), true},
	} {
		_, late := habits.Rubato{}.Warp(hearing.CourseOf(c.score), 1, MaxDeviation, most).Reach()
		end := c.score.Notes[len(c.score.Notes)-1].On
		shift := habits.Rubato{}.Warp(hearing.CourseOf(c.score), 1, MaxDeviation, most).At(end)
		if ritard := shift > 100*exprtest.Thousandth; ritard != c.ritard {
			t.Errorf("%s: the last note comes %v later (at most %v)", c.what, shift, late)
		}
	}
}

// Nor does a phrase slow down to its end where the written tempo does so.
func TestNoBreathInAWrittenRitard(t *testing.T) {
	written := steadily(64, 120)
	for i := range 4 {
		written[26+i] = 120 - 12*float64(i+1)
	}
	s := paced(written, 1)
	c := hearing.CourseOf(s)
	var deep, flat []timing.Phrase
	for _, p := range c.Phrases {
		if p.Depth > 0 {
			deep = append(deep, p)
		} else {
			flat = append(flat, p)
		}
	}
	end := s.Notes[2*28].On // where the tempo is taken up again
	if len(flat) != 1 || flat[0].End != end || len(deep) == 0 {
		t.Errorf("phrases that breathe: %v; that do not: %v; the written ritard ends at %v", deep, flat, end)
	}
}

// However unsteady a player and however its hammers are voiced, no note leaves the beat by more than
// a bound.
func TestOwnShiftIsBounded(t *testing.T) {
	p := exprtest.Piano()
	exprtest.Unsteady(2, expr.Together{SD: 60 * exprtest.Thousandth, Chord: 30 * exprtest.Thousandth, Hammer: true})(p)
	p.Amounts.Set("voicing", 2)
	e := usual(Config{Sides: expr.Shaped, Lookahead: 2 * MaxDeviation, Seed: 7})
	if err := e.Seat(0, 0, p, 1); err != nil {
		t.Fatal(err)
	}
	var in []expr.Event
	for i := range 200 {
		at := time.Duration(i) * 400 * exprtest.Thousandth
		for _, key := range []byte{40, 55, 60, 72} {
			in = append(in, exprtest.On(at, key, 30))
		}
		for _, key := range []byte{40, 55, 60, 72} {
			in = append(in, exprtest.Off(at+300*exprtest.Thousandth, key))
		}
	}
	farthest := time.Duration(0)
	for _, ev := range drive(e, in, 20*exprtest.Thousandth, 3*time.Second) {
		if !ev.IsNoteOn() {
			continue
		}
		due := (ev.At - 2*MaxDeviation + 200*exprtest.Thousandth) / (400 * exprtest.Thousandth) * (400 * exprtest.Thousandth)
		farthest = max(farthest, (ev.At - 2*MaxDeviation - due).Abs())
	}
	if farthest > MaxOwnShift || farthest < MaxOwnShift/2 {
		t.Errorf("a note is %v from its beat, want at most %v and something to hold back", farthest, MaxOwnShift)
	}
}

// A note that has to wait for what the ensemble does late hands its wait on to nobody: wrong matches
// throw the music to and fro between a place in time and one a second late, and the last note is no
// later than the latest place.
func TestWaitsDoNotGrow(t *testing.T) {
	const late, ms = time.Second, exprtest.Thousandth
	e := usual(Config{Sides: expr.Shaped, Lookahead: late, Rubato: 1})
	if err := e.Seat(0, 0, exprtest.Piano(), 1); err != nil {
		t.Fatal(err)
	}
	e.Load(&expr.Score{Parts: []string{"piano"}, End: 66 * time.Second, Notes: []expr.Written{
		{On: 0, Off: time.Second, Length: 1, Key: 60, Velocity: 80},
		{On: 65 * time.Second, Off: 66 * time.Second, Beat: 65, Length: 1, Key: 60, Velocity: 80},
	}})
	e.time.plan = new(timing.Warp).WithRitard(timing.Ritard{From: 60 * time.Second, To: 64 * time.Second, Most: late}, 1)
	var in []expr.Event
	key := byte(40)
	for round := range 10 {
		at := 5*time.Second + time.Duration(round)*25*ms
		for i, note := range []int32{2, 1, 2} { // late, in time, late
			on := exprtest.On(at+time.Duration(2*i)*ms, key+byte(i), 80)
			on.Note = note
			in = append(in, on, expr.Short(at+time.Duration(2*i+1)*ms, 0, 0xB0, 20, byte(round)))
		}
		for i := range byte(3) {
			in = append(in, exprtest.Off(at+20*ms, key+i))
		}
		key += 3
	}
	latest := time.Duration(0)
	for _, ev := range drive(e, in, 5*ms, 20*time.Second) {
		if ev.IsNoteOn() {
			round := time.Duration(ev.Msg[1]-40) / 3
			latest = max(latest, ev.At-late-5*time.Second-round*25*ms)
		}
	}
	if latest > late+MaxOwnShift || latest < late {
		t.Errorf("a note comes %v late, want at most %v, and one that is that late", latest, late)
	}
}
