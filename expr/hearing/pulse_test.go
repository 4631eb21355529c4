package hearing

import (
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// A clock tells the beat at once, from one port and not from two that both send it.
func TestPulseByClock(t *testing.T) {
	var p pulse
	p.port = expr.Unknown
	const period = time.Second / 48 // 120 quarter notes a minute, 24 clocks each
	p.message(0, 0, []byte{0xFA})
	want := map[int]int{96: 1, 102: 0, 108: 0, 120: 1} // clocks to the level there
	for i := range 121 {
		at := time.Duration(i) * period
		p.message(at, 0, []byte{expr.TimingClock})
		if level, asked := want[i]; asked {
			quarters, got, sure := p.of(at)
			exprtest.Near(t, "quarters", quarters, float64(i)/24, 0.02)
			if got != level || sure < 0.5 {
				t.Errorf("at %g quarter notes: level %d, sure %g; want level %d", quarters, got, sure, level)
			}
		}
		p.message(at+3*exprtest.Thousandth, 1, []byte{expr.TimingClock})
	}
}

// Without a clock nothing is told before the beat has been heard.
func TestPulseByEar(t *testing.T) {
	var p pulse
	p.port = expr.Unknown
	if quarters, level, sure := p.of(time.Second); quarters != expr.Unknown || level != 0 || sure != 0 {
		t.Errorf("before any note: %g, level %d, sure %g", quarters, level, sure)
	}
	for i := range 64 { // even quavers, the beats with a bass, 100 a minute
		at := time.Duration(i) * 300 * exprtest.Thousandth
		p.tracker.Onset(at, 72, 80)
		if i%2 == 0 {
			p.tracker.Onset(at, 48, 80)
		}
	}
	if b := p.tell(64 * 300 * exprtest.Thousandth); b.By != "ear" || b.PerMin < 99 || b.PerMin > 101 || b.Sure < 0.5 {
		t.Errorf("%+v, want 100 beats a minute by ear", b)
	}
	if b := NewListener(1, nil).Beat(time.Second); b != (Beat{}) {
		t.Errorf("before any note: %+v", b)
	}
	if _, level, sure := p.of(64 * 300 * exprtest.Thousandth); level == 0 || sure < 0.5 {
		t.Errorf("on the beat: level %d, sure %g", level, sure)
	}
	if _, level, _ := p.of(65 * 300 * exprtest.Thousandth); level != 0 {
		t.Errorf("off the beat: level %d", level)
	}
}
