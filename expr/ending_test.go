package expr

import (
	"slices"
	"testing"
	"time"
)

// joined is a line whose notes each end where the next begins. The note-offs come from
// one track, and every second note-on from another.
func joined(velocities ...byte) (in []Event) {
	for i, velocity := range velocities {
		at := time.Duration(i) * 500 * ms
		key := byte(60 + 2*i)
		begins, ends := on(at, key, velocity), off(at+500*ms, key)
		begins.Source = uint16(i % 2)
		ends.Source = begins.Source
		in = append(in, begins, ends)
	}
	slices.SortStableFunc(in, func(a, b Event) int { return int(a.At - b.At) })
	return in
}

// drawn is a profile under which notes are drawn over the next by k, and do nothing else
// but keep to their marks.
func drawn(k float64) *Profile {
	p := violins()
	p.Sustain.K, p.Vibrato.K, p.Weighting.K = 0, 0, 0
	p.Habits = Habits{Articulation: Articulation{K: k}}
	return p
}

// A note that is only drawn over the next is no voice beside it: each note of a joined
// line starts with the velocity and at the expression that it has where none is drawn.
func TestDrawnNoteIsNoVoice(t *testing.T) {
	starts := func(events []Event) (all [][2]byte, late int) {
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
	plucked.Player.VibratoDepth = Control{}
	p.Variants = []Variant{{Name: "bowed", Keyswitch: -1, Program: 40, Profile: p}, {Name: "plucked", Keyswitch: -1, Program: 45, Profile: plucked}}
	pluck := Short(time.Second, 0, 0xC0, 45)
	bowed := []Event{on(0, 60, 80), off(500*ms, 60), on(500*ms, 62, 80)}
	for name, c := range map[string]struct {
		in   []Event
		want time.Duration // when the second note ends
	}{
		"nobody calls": {[]Event{off(time.Second, 62), on(time.Second, 64, 80)}, time.Second + keyOverlap(500*ms, 1)},
		"before":       {[]Event{pluck, off(time.Second, 62), on(time.Second, 64, 80)}, time.Second},
		"after":        {[]Event{off(time.Second, 62), pluck, on(time.Second, 64, 80)}, time.Second},
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
