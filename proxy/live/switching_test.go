package live_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/expr"
	"swellbox/proxy/live"
	"swellbox/proxy/ports/portstub"
)

// chord lets a note begin in each of the four parts.
func (r *rig) chord(key byte) {
	for ch := range byte(3) {
		r.feed(1, 0x90|ch, key, 90)
	}
	r.feed(2, 0x90, key, 90)
}

func (r *rig) endChord(key byte) {
	for ch := range byte(3) {
		r.feed(1, 0x80|ch, key, 64)
	}
	r.feed(2, 0x80, key, 64)
}

// sides is what each part plays.
func (r *rig) sides() (sides []string) {
	for _, p := range r.d.Status().Parts {
		sides = append(sides, p.Side)
	}
	return sides
}

// A switch in the middle of a note, of one part or all, there and back: each note has
// its one end, the level moves by at most 1 dB a millisecond, and the controllers
// come to where the raw side has them.
func TestSwitchInMidNote(t *testing.T) {
	for _, parts := range [][]string{nil, {"first VIOLINS ", "Cellos"}} {
		t.Run(fmt.Sprint(parts), func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				r := start(t, 2, nil)
				r.feed(1, 0xB0, 11, 120)
				r.chord(60)
				pass(800 * ms)
				shapedSounds(t, r)
				if err := r.d.Switch(expr.Raw, parts); err != nil {
					t.Fatal(err)
				}
				pass(300 * ms)
				if v := last(r.heard(1), 0, 11); v != 120 {
					t.Errorf("expression is at %d, want 120 as it came in", v)
				}
				want, all := []string{"raw", "raw", "raw", "raw"}, "raw"
				if parts != nil {
					want, all = []string{"raw", "shaped", "shaped", "raw"}, "mixed"
				}
				if got := r.sides(); !slices.Equal(got, want) || r.d.Status().Side != all {
					t.Errorf("sides %v, %s", got, r.d.Status().Side)
				}
				r.chord(62)
				r.endChord(60)
				pass(200 * ms)
				if err := r.d.Switch(expr.Shaped, parts); err != nil {
					t.Fatal(err)
				}
				pass(300 * ms)
				r.endChord(62)
				if s := r.d.Status(); s.Side != "shaped" || s.NotesOut != 8 {
					t.Errorf("side %s, %d notes out", s.Side, s.NotesOut)
				}
				for port := 1; port <= 2; port++ {
					got := r.heard(port)
					for ch := range byte(3) {
						for _, key := range []byte{60, 62} {
							if on, off := count(got, 0x90|ch, key), count(got, 0x80|ch, key); on != off || on != 1 && (port == 1 || ch == 0) {
								t.Errorf("port %d channel %d key %d: %d begins and %d ends", port, ch+1, key, on, off)
							}
						}
					}
					smooth(t, got)
				}
			})
		})
	}
}

// shapedSounds checks that there is something to switch: the shaped side does not play as raw.
func shapedSounds(t *testing.T, r *rig) {
	t.Helper()
	if v := last(r.heard(1), 0, 11); v == 120 || v < 0 {
		t.Fatalf("the violins' expression is at %d, which is no different from raw", v)
	}
}

// smooth checks that expression never moves by more than 1 dB a millisecond, but for
// the least step there is, while a note sounds.
//
// Source of the level of a value: 40·log10(v/127), General MIDI 2 and DLS.
func smooth(t *testing.T, msgs []portstub.Message) {
	t.Helper()
	was, at, notes := -1, time.Time{}, 0
	for _, m := range msgs {
		switch {
		case m.Data[0] == 0x90:
			notes++
		case m.Data[0] == 0x80:
			notes--
		case m.Data[0] == 0xB0 && m.Data[1] == 11:
			v := int(m.Data[2])
			if was > 0 && notes > 0 && v != was+1 && v != was-1 {
				step := math.Abs(40 * math.Log10(float64(max(v, 1))/float64(was)))
				if most := float64(m.At.Sub(at)) / float64(ms); step > most+0.5 { // half a value of rounding
					t.Errorf("expression goes from %d to %d, %.1f dB, in %.0f ms", was, v, step, most)
				}
			}
			was, at = v, m.At
		}
	}
}

// A name that no part has switches nothing, and the error lists those there are.
func TestSwitchUnknownPart(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 2, nil)
		if err := r.d.Switch(expr.Raw, []string{"Harp"}); err == nil {
			t.Error("switched a part that nobody plays")
		} else {
			wantContains(t, "error", err.Error(), `"Harp"`, "none yet")
		}
		r.chord(60)
		err := r.d.Switch(expr.Raw, []string{"Violas", "Harp"})
		if err == nil {
			t.Fatal("switched a part that nobody plays")
		}
		wantContains(t, "error", err.Error(), `"Harp"`, `"First violins"`, `"Violas"`, `"Trumpet"`, `"Cellos"`)
		if got := r.d.Status().Side; got != "shaped" {
			t.Errorf("side %s", got)
		}
	})
}

// What is seated after all were switched is on the side that all are on.
func TestSwitchBeforeSeating(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 2, nil)
		if err := r.d.Switch(expr.Raw, nil); err != nil {
			t.Fatal(err)
		}
		r.chord(60)
		if got := r.sides(); !slices.Equal(got, []string{"raw", "raw", "raw", "raw"}) {
			t.Errorf("sides %v", got)
		}
		if got := r.heard(1); count(got, 0x90, 60, 90) != 1 {
			t.Errorf("heard %v", got)
		}
	})
}

// The foot switch switches all parts and is not passed on; nothing else is taken for it.
func TestFootSwitch(t *testing.T) {
	type step struct {
		msg  []byte
		side string
	}
	for name, c := range map[string]struct {
		foot  live.FootSwitch
		steps []step
	}{
		"each press switches over": {live.FootSwitch{Controller: 80}, []step{
			{[]byte{0xB0, 80, 127}, "raw"},
			{[]byte{0xB0, 80, 100}, "raw"}, // still the same press
			{[]byte{0xB0, 80, 63}, "raw"},
			{[]byte{0xB4, 80, 64}, "shaped"},
			{[]byte{0xB4, 80, 0}, "shaped"},
		}},
		"raw while held": {live.FootSwitch{Controller: 80, Hold: true}, []step{
			{[]byte{0xB0, 80, 127}, "raw"},
			{[]byte{0xB0, 80, 64}, "raw"},
			{[]byte{0xB0, 80, 0}, "shaped"},
			{[]byte{0xB0, 80, 0}, "shaped"},
		}},
		"on its channel": {live.FootSwitch{Controller: 64, Channel: 16}, []step{
			{[]byte{0xBF, 64, 127}, "raw"},
			{[]byte{0xBF, 64, 0}, "raw"},
			{[]byte{0xBF, 64, 127}, "shaped"},
		}},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				r := start(t, 2, func(cfg *live.Config) { cfg.Foot = c.foot })
				r.chord(60)
				for i, s := range c.steps {
					r.sys.Forget(out(1))
					r.feed(1, s.msg...)
					pass(200 * ms)
					if got := r.d.Status().Side; got != s.side {
						t.Errorf("step %d: % X gives %s, want %s", i, s.msg, got, s.side)
					}
					if count(r.heard(1), s.msg[:2]...) != 0 {
						t.Errorf("step %d: the foot switch was passed on", i)
					}
				}
				r.sys.Forget(out(1))
				other := [][]byte{{0xB0, 81, 127}, {0xC0, 80}, {0xA0, 80, 127}}
				if c.foot.Channel != 0 {
					other = append(other, []byte{0xB0, 64, 127})
				}
				side := r.d.Status().Side
				for _, m := range other {
					r.feed(1, m...)
					if count(r.heard(1), m...) != 1 {
						t.Errorf("% X was not passed on", m)
					}
				}
				if got := r.d.Status().Side; got != side {
					t.Errorf("something else switched to %s", got)
				}
			})
		})
	}
}

// Parts stand as in a studio or a hall by name, and what sounds moves there: back in the
// hall it is as loud as one that never left it.
func TestSetPlace(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, stayed := start(t, 2, nil), start(t, 2, nil)
		r.feed(1, 0x92, 67, 30) // softly, where the hall lets a trumpet stand out
		stayed.feed(1, 0x92, 67, 30)
		pass(500 * ms)
		hall := last(r.heard(1), 2, 11)
		if err := r.d.SetPlace(expr.Studio, []string{"trumpet"}); err != nil {
			t.Fatal(err)
		}
		pass(500 * ms)
		studio := last(r.heard(1), 2, 11)
		if s := r.d.Status(); s.Parts[0].Place != "studio" || studio >= hall {
			t.Errorf("%+v; expression stands at %d, before at %d", s.Parts, studio, hall)
		}
		if err := r.d.SetPlace(expr.Hall, nil); err != nil {
			t.Fatal(err)
		}
		pass(500 * ms)
		if back, want := last(r.heard(1), 2, 11), last(stayed.heard(1), 2, 11); back != want {
			t.Errorf("back in the hall expression stands at %d, in one that never left at %d", back, want)
		}
		if err := r.d.SetPlace(expr.Studio, []string{"Theremin"}); err == nil || !strings.Contains(err.Error(), "Theremin") {
			t.Errorf("a part that is not there: %v", err)
		}
	})
}
