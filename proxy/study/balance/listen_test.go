package balance

import (
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/proxy/study/demo"
)

// What is listened to is the bars as they are written, and with the remedy in those who are its concern alone.
func TestListen(t *testing.T) {
	r := analyse(t, demo.Score(), castOf(t))
	e, err := r.Listen("23–26")
	if err != nil {
		t.Fatal(err)
	}
	if e.Part != "Flute 1" || e.Remedy != "three trombones at mp and an octave up" || e.Bars != "bars 23–26" || e.Length < 4*time.Second {
		t.Errorf("%s, %s: %s, %v", e.Bars, e.Part, e.Remedy, e.Length)
	}
	if len(e.Parts) != len(r.Reports[hall].Parts) {
		t.Errorf("%d parts", len(e.Parts))
	}
	split := func(all []expr.Event) map[string][]expr.Event {
		of := map[string][]expr.Event{}
		for i, ev := range all {
			if i > 0 && ev.At < all[i-1].At {
				t.Fatal("out of order")
			}
			name := r.Reports[hall].Parts[int(ev.Port)*16+ev.Channel()].Name
			of[name] = append(of[name], ev)
		}
		return of
	}
	bar24 := r.heard.score.bars[23] - r.heard.score.bars[22]
	before, after := split(e.Before), split(e.After)
	softer := 0
	for name, was := range before {
		is := after[name]
		if len(is) != len(was) {
			t.Fatalf("%s has %d events, had %d", name, len(is), len(was))
		}
		for i := range was {
			a, b := was[i], is[i]
			switch {
			case a.At != b.At:
				t.Fatalf("%s: moved from %v to %v", name, a.At, b.At)
			case name == "Flute 1" && a.At >= bar24 && a.IsNoteOn():
				if b.Msg[1] != a.Msg[1]+12 {
					t.Errorf("the flute at %v: key %d, was %d", a.At, b.Msg[1], a.Msg[1])
				}
			case name == "Flute 1", strings.HasPrefix(name, "Trombone") && a.At >= bar24:
				if a.Msg[1] == 7 && b.Msg[2] < a.Msg[2] {
					softer++
				}
			case a.Msg != b.Msg:
				t.Errorf("%s at %v: %v, was %v", name, a.At, b.Bytes(), a.Bytes())
			}
		}
	}
	if softer < 3 {
		t.Errorf("the trombones are softer in %d notes", softer)
	}
	if !slices.ContainsFunc(e.Before, func(ev expr.Event) bool { return ev.IsNoteOn() && ev.At == 0 }) {
		t.Error("nothing sounds at first")
	}
}

func TestListenToNothing(t *testing.T) {
	r := analyse(t, demo.Score(), castOf(t))
	for bars, words := range map[string]string{
		"2": "no tune is behind in bar 2", "31": `"31" are no bars of the piece, which has 1 to 30`, "5-4": "name them as in 24-26", "": "no bars", "x-y": "no bars",
	} {
		if _, err := r.Listen(bars); err == nil || !strings.Contains(err.Error(), words) {
			t.Errorf("%q: %v, want it to say %q", bars, err, words)
		}
	}
}
