package offline_test

import (
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swellbox/expr/engine"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

// placed is a track as another reader finds it by position.
type placed struct {
	Name  string
	Late  []string       // what the track says of itself after it has begun to play
	Plays map[string]int // messages by port, device, channel and kind
	About [][3]any       // tick, channel and kind of what stands under a channel prefix
}

// Whoever reads a shaped file by position finds each track's name, port and instrument before
// all that it plays, and every note on the port and device on which it was.
func TestRenderOnPortsReadByMido(t *testing.T) {
	ports, err := smf.ReadFile("../../testdata/smf/ports.mid")
	if err != nil {
		t.Fatal(err)
	}
	for name, raw := range map[string]*smf.File{"ports": ports, "demo": demo.Score()} {
		for manner, how := range map[string]perform.Manner{
			"steady": steady,
			"notes":  {Scored: true, Lookahead: 2 * engine.MaxDeviation, Rubato: 1},
			"tempos": {Scored: true, Lookahead: 2 * engine.MaxDeviation, Rubato: 1, Tempos: true},
		} {
			t.Run(name+" "+manner, func(t *testing.T) {
				shaped, _, err := offline.Render(t.Context(), raw, guessing(t), how)
				if err != nil {
					t.Fatal(err)
				}
				var all map[string][]placed
				mido(t, &all, "smf/mido_check.py", "places", write(t, "raw.mid", raw), write(t, "shaped.mid", shaped))
				was, is := all["raw.mid"], all["shaped.mid"]
				if len(was) != len(is) {
					t.Fatalf("%d tracks raw, %d shaped", len(was), len(is))
				}
				elsewhere := placesOf(t, is)
				for i := range is {
					if len(is[i].Late) > 0 {
						t.Errorf("%q: after it has begun to play it says %v", is[i].Name, is[i].Late)
					}
					if is[i].Name != was[i].Name {
						t.Errorf("%q is called %q", was[i].Name, is[i].Name)
					}
					if fmt.Sprint(is[i].About) != fmt.Sprint(was[i].About) {
						t.Errorf("%q: channel prefixes are about %v, were about %v", is[i].Name, is[i].About, was[i].About)
					}
				}
				if name == "ports" {
					// By position the first beat of the horn would be on port 0: it is where the track says.
					was[3].Plays = map[string]int{"1  1 program_change": 1, "1  1 note_on": 8, "1  1 note_off": 8}
				}
				if want := placesOf(t, was); !maps.Equal(elsewhere, want) {
					t.Errorf("notes and programs are on %v, were on %v", elsewhere, want)
				}
			})
		}
	}
}

// placesOf counts notes and programs by track, port, device and channel.
func placesOf(t *testing.T, tracks []placed) map[string]int {
	t.Helper()
	counts := map[string]int{}
	for i, tr := range tracks {
		for _, where := range slices.Sorted(maps.Keys(tr.Plays)) {
			kind := where[strings.LastIndex(where, " ")+1:]
			if kind == "note_on" || kind == "program_change" {
				counts[fmt.Sprintf("%d %s", i, where)] += tr.Plays[where]
			}
		}
	}
	return counts
}

// A controller that moves by itself stands under the cable of its part, wherever the track is by
// then.
func TestRenderKeepsCables(t *testing.T) {
	ports, err := smf.ReadFile(filepath.Join("../../testdata/smf", "ports.mid"))
	if err != nil {
		t.Fatal(err)
	}
	shaped, _, err := offline.Render(t.Context(), ports, guessing(t), perform.Manner{Scored: true, Lookahead: 2 * engine.MaxDeviation})
	if err != nil {
		t.Fatal(err)
	}
	flute := shaped.Tracks[4]
	port, seen := byte(0xFF), map[string]bool{}
	for _, e := range flute.Events {
		if kind, payload, ok := e.Meta(); ok && kind == smf.MetaPort {
			port = payload[0]
		}
		if e.Data[0] == 0x92 && e.Data[2] > 0 {
			if want := byte(e.Tick / 1900); port != want {
				t.Errorf("the note at tick %d is on port %d", e.Tick, port)
			}
			seen[fmt.Sprint(port)] = true
		}
		if e.Data[0]&0xF0 == 0xB0 && port == 0xFF {
			t.Errorf("a controller at tick %d stands before the port", e.Tick)
		}
	}
	if len(seen) != 2 {
		t.Errorf("notes were on %v", seen)
	}
}
