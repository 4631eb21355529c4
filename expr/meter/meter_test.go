package meter

import (
	"testing"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// Data of a parameter that is not registered is none of the bend range, whatever was selected
// before; and the range can be selected again.
func TestMeterPassesOverOtherParameters(t *testing.T) {
	m := New(1)
	say := func(number, value byte) {
		e := exprtest.CC(0, number, value)
		m.Take(&e)
	}
	bent := func() float64 {
		e := expr.Short(0, 0, 0xE0, 127, 127)
		m.Take(&e)
		return m.Bend(0, 0)
	}
	for _, step := range []struct {
		what   string
		say    [][2]byte
		range_ float64 // semitones
	}{
		{"nothing", nil, 2},
		{"the range", [][2]byte{{101, 0}, {100, 0}, {6, 12}}, 12},
		{"another parameter, not registered", [][2]byte{{99, 1}, {98, 8}, {6, 64}, {38, 50}}, 12},
		{"half of such a number", [][2]byte{{101, 0}, {100, 0}, {98, 9}, {6, 48}}, 12},
		{"the range again", [][2]byte{{101, 0}, {100, 0}, {6, 7}, {38, 50}}, 7.5},
		{"another registered one", [][2]byte{{100, 1}, {6, 64}}, 7.5},
	} {
		for _, c := range step.say {
			say(c[0], c[1])
		}
		exprtest.Near(t, step.what, bent(), step.range_*100, step.range_)
	}
}

// A sampler that was measured stood at its resting volume then: said or not, that volume is one level,
// so that raw, which leaves it alone, and shaped, which moves it, are compared rightly.
func TestMeasuredVolumeIsAgainstRest(t *testing.T) {
	p := exprtest.Trumpet()
	p.Sampler.Measured = &expr.Measured{ByVolume: true}
	m := New(1)
	m.Seat(0, 0, p)
	level := func(say ...byte) float64 {
		for _, v := range say {
			e := exprtest.CC(0, expr.CCVolume, v)
			m.Take(&e)
		}
		on := expr.Short(0, 0, 0x90, 60, 80)
		m.Take(&on)
		db, ok := m.Level(0, 0)
		if !ok {
			t.Fatal("nothing sounds")
		}
		return db
	}
	untold := level()
	exprtest.Near(t, "volume 100", level(100), untold, 1e-9)
	exprtest.Near(t, "volume 50", level(50), untold-12.04, 0.01) // 40·log10(50/100), General MIDI 2
}
