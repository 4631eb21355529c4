package engine

import (
	"slices"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/expr/habits"
)

// joined is a line whose notes each end where the next begins. The note-offs come from
// one track, and every second note-on from another.
func joined(velocities ...byte) (in []expr.Event) {
	for i, velocity := range velocities {
		at := time.Duration(i) * 500 * exprtest.Thousandth
		key := byte(60 + 2*i)
		begins, ends := exprtest.On(at, key, velocity), exprtest.Off(at+500*exprtest.Thousandth, key)
		begins.Source = uint16(i % 2)
		ends.Source = begins.Source
		in = append(in, begins, ends)
	}
	slices.SortStableFunc(in, func(a, b expr.Event) int { return int(a.At - b.At) })
	return in
}

// drawn is a profile under which notes are drawn over the next by k, and do nothing else
// but keep to their marks.
func drawn(k float64) *expr.Profile {
	p := exprtest.Violins()
	p.Amounts = expr.Amounts{}.With("marks", 1)
	exprtest.Having("articulation", k)(p)
	return p
}

// A note that is only drawn over the next is no voice beside it: each note of a joined
// line starts with the velocity and at the expression that it has where none is drawn.
func TestDrawnNoteIsNoVoice(t *testing.T) {
	starts := func(events []expr.Event) (all [][2]byte, late int) {
		expression, held := byte(0), 0
		for _, e := range events {
			switch {
			case e.IsNoteOn():
				all = append(all, [2]byte{e.Msg[2], expression})
				held++
				late += held - 1
			case e.IsNoteOff():
				held--
			case e.Msg[0] == 0xB0 && e.Msg[1] == 11:
				expression = e.Msg[2]
			}
		}
		return all, late
	}
	in := joined(64, 112, 33, 96, 49, 80)
	want, none := starts(shape(t, drawn(0), 12, 4*time.Second, in...))
	got, late := starts(shape(t, drawn(1), 12, 4*time.Second, in...))
	if none != 0 || late < 3 { // not those that are followed by much louder ones
		t.Fatalf("%d notes lap over the next, and %d where they are drawn", none, late)
	}
	if !slices.Equal(got, want) {
		t.Errorf("velocity and expression at the starts are %v, want %v", got, want)
	}
}

// The end of a drawn note comes from where the note came from.
func TestDrawnNoteKeepsItsSource(t *testing.T) {
	sources, ends := map[byte]uint16{}, 0
	for _, e := range shape(t, drawn(1), 12, 4*time.Second, joined(64, 64, 64, 64)...) {
		switch {
		case e.IsNoteOn():
			sources[e.Msg[1]] = e.Source
		case e.IsNoteOff():
			ends++
			if e.Source != sources[e.Msg[1]] {
				t.Errorf("key %d of source %d is ended from source %d", e.Msg[1], sources[e.Msg[1]], e.Source)
			}
		}
	}
	if ends != 4 || sources[60] == sources[62] {
		t.Errorf("%d ends from sources %v, want four from two", ends, sources)
	}
}

// A bowed note is not drawn over a plucked one, whether the call for that comes before its
// end or after.
func TestNothingIsDrawnOverAnotherWay(t *testing.T) {
	p := drawn(1)
	plucked := drawn(1)
	plucked.Sampler.VibratoDepth = expr.Control{}
	p.Variants = []expr.Variant{{Name: "bowed", Keyswitch: -1, Program: 40, Profile: p}, {Name: "plucked", Keyswitch: -1, Program: 45, Profile: plucked}}
	pluck := expr.Short(time.Second, 0, 0xC0, 45)
	bowed := []expr.Event{exprtest.On(0, 60, 80), exprtest.Off(500*exprtest.Thousandth, 60), exprtest.On(500*exprtest.Thousandth, 62, 80)}
	for name, c := range map[string]struct {
		in   []expr.Event
		want time.Duration // when the second note ends
	}{
		"nobody calls": {[]expr.Event{exprtest.Off(time.Second, 62), exprtest.On(time.Second, 64, 80)}, time.Second + habits.KeyOverlap(500*exprtest.Thousandth, 1)},
		"before":       {[]expr.Event{pluck, exprtest.Off(time.Second, 62), exprtest.On(time.Second, 64, 80)}, time.Second},
		"after":        {[]expr.Event{exprtest.Off(time.Second, 62), pluck, exprtest.On(time.Second, 64, 80)}, time.Second},
	} {
		var ends []time.Duration
		for _, e := range shape(t, p, 12, 3*time.Second, append(slices.Clone(bowed), c.in...)...) {
			if e.IsNoteOff() && e.Msg[1] == 62 {
				ends = append(ends, e.At)
			}
		}
		if !slices.Equal(ends, []time.Duration{c.want}) {
			t.Errorf("%s: the note ends at %v, want %v", name, ends, c.want)
		}
	}
}
