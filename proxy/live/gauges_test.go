package live_test

import (
	"math"
	"testing"
	"testing/synctest"

	"swellbox/expr"
	"swellbox/proxy/live"
)

// Who watches reads both sides of each part while one of them sounds: what is down, how loud it
// is, and whose the tune is; and nothing once the notes are ended, by themselves or otherwise.
func TestGauges(t *testing.T) {
	for name, end := range map[string]func(*rig){
		"by their ends": func(r *rig) { r.endChord(60) },
		"all at once":   func(r *rig) { r.d.EndNotes() },
		"by a panic":    func(r *rig) { r.d.Panic() },
	} {
		synctest.Test(t, func(t *testing.T) {
			r := start(t, 2, nil)
			r.chord(48) // seats them before anybody looks
			r.endChord(48)
			pass(500 * ms)
			g := live.NewGauges(r.d)
			r.feed(1, 0xB0, 64, 127)
			r.chord(60)
			pass(800 * ms)
			g.Look()
			if len(g.Parts) != 4 || g.NotesIn != 8 {
				t.Fatalf("%s: %d parts, %d notes", name, len(g.Parts), g.NotesIn)
			}
			for i, p := range g.Parts {
				if !p.Raw || !p.Shaped || p.Keys != [2]uint64{1 << 60, 0} || p.Profile == nil || p.Side != expr.Shaped {
					t.Errorf("%s: part %d reads %+v", name, i, p.Gauge)
				}
				if p.RawDB > 0 || p.ShapedDB > 0 || p.RawDB < -40 || p.ShapedDB < -60 || p.RawDB == p.ShapedDB {
					t.Errorf("%s: part %d is at %.1f dB raw, %.1f shaped", name, i, p.RawDB, p.ShapedDB)
				}
			}
			if g.Tune < 0 || g.TuneSure <= 0 || g.TuneSure > 1 {
				t.Errorf("%s: the tune is part %d's, by %.2f", name, g.Tune, g.TuneSure)
			}
			if g.Parts[0].VibratoCents == 0 {
				t.Errorf("%s: violins without vibrato", name)
			}
			end(r)
			pass(500 * ms)
			g.Look()
			for i, p := range g.Parts {
				if p.Raw || p.Shaped || p.Keys != [2]uint64{} {
					t.Errorf("%s: part %d still reads %+v", name, i, p.Gauge)
				}
			}
		})
	}
}

// A look allocates nothing once the parts are known.
func TestGaugesAllocateNothing(t *testing.T) {
	r := start(t, 2, nil)
	g := live.NewGauges(r.d)
	r.chord(60)
	g.Look()
	if n := testing.AllocsPerRun(100, g.Look); n != 0 {
		t.Errorf("%.0f allocations a look", n)
	}
	r.endChord(60)
}

// Levels can be matched while the music plays, and left again: the raw side goes down by as
// much as it is louder and comes back to where the notation program had it.
func TestMatchWhilePlaying(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 2, nil)
		g := live.NewGauges(r.d)
		r.feed(1, 0xB0, 7, 90)
		if err := r.d.Switch(expr.Raw, nil); err != nil {
			t.Fatal(err)
		}
		r.chord(60)
		pass(500 * ms)
		g.Look()
		before := g.Parts[0].RawDB
		g.Match(true)
		pass(500 * ms)
		g.Look()
		if down := before - g.Parts[0].RawDB; !g.Matched || down < 3 {
			t.Errorf("matched %v, the raw side is lowered by %.1f dB", g.Matched, down)
		}
		if v := last(r.heard(1), 0, 7); v >= 90 {
			t.Errorf("the volume is at %d, and was 90", v)
		}
		g.Match(false)
		pass(500 * ms)
		g.Look()
		if g.Matched || math.Abs(before-g.Parts[0].RawDB) > 0.01 {
			t.Errorf("matched %v, the raw side is at %.1f dB and was at %.1f", g.Matched, g.Parts[0].RawDB, before)
		}
		if v := last(r.heard(1), 0, 7); v != 90 {
			t.Errorf("the volume is at %d, want 90 again", v)
		}
		r.endChord(60)
	})
}
