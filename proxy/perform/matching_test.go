package perform

import (
	"fmt"
	"math"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/profiles"
	"swellbox/profiles/names"
)

// Over what has been played the raw side is lowered by as much as it is louder, and by nothing where
// it is not.
func TestMatchingFollowsLoudness(t *testing.T) {
	for name, want := range map[string]struct{ raw, shaped byte }{
		"raw louder":    {raw: 110, shaped: 80}, // 40·log10(110/80) is 5.5 dB
		"equal":         {raw: 90, shaped: 90},
		"shaped louder": {raw: 60, shaped: 90},
	} {
		var lowered float64
		d := newDesk(1, func(*expr.Event) {})
		d.matchLevels(6)
		lib, err := profiles.NewLibrary()
		if err != nil {
			t.Fatal(err)
		}
		plain, err := lib.Resolve("plain")
		if err != nil {
			t.Fatal(err)
		}
		d.match.seat(0, 0, plain)
		fastest := 0.0
		for i := range 120 {
			at := time.Duration(i) * 500 * ms
			for side, velocity := range map[expr.Side]byte{expr.Raw: want.raw, expr.Shaped: want.shaped} {
				e := expr.Short(at, 0, 0x90, 67, velocity)
				e.Side = side
				d.take(&e)
			}
			before := d.matchDB
			e := expr.Short(at+400*ms, 0, 0x80, 67, 0)
			e.Side = expr.Both
			d.take(&e)
			fastest = max(fastest, math.Abs(d.matchDB-before))
			lowered = d.matchDB
		}
		expected := max(40*math.Log10(float64(want.raw)/float64(want.shaped)), 0)
		if math.Abs(lowered-expected) > 0.3 {
			t.Errorf("%s: lowered by %.2f dB, want %.2f", name, lowered, expected)
		}
		if fastest > 0.41 {
			t.Errorf("%s: it moved by %.2f dB within 400 ms", name, fastest)
		}
	}
}

// A passage of which nothing is heard yet, and rests, change nothing.
func TestMatchingWaits(t *testing.T) {
	m := newMatching(1, new(colours))
	e := expr.Short(time.Hour, 0, 0x90, 60, 100)
	e.Side = expr.Both
	m.take(&e)
	if _, ok := m.louderDB(); ok {
		t.Error("nothing has been played yet")
	}
}

// A raw side that never moves the controller of the level is not silent for that.
func TestSwitchToRawWithDynamicsOnOne(t *testing.T) {
	var got recorder
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	s := NewStage(&Cast{Library: lib, ControllerMap: "dynamics-on-1"}, engine.Config{Ports: 1}, got.take)
	if err := s.SeatAll([]names.Hint{{Port: 1, Channel: 1, Track: "Oboe"}}); err != nil {
		t.Fatal(err)
	}
	s.Push(short(0, 0x90, 72, 80))
	s.Pull(100 * ms)
	s.Switch(0, 0, expr.Raw)
	s.Pull(2 * time.Second)
	last := -1
	for _, e := range got.events {
		if e.Msg[0] == 0xB0 && e.Msg[1] == 1 {
			last = int(e.Msg[2])
		}
	}
	if last != 127 {
		t.Errorf("raw leaves controller 1 at %d", last)
	}
}

// Which of two parts is the louder one decides which side is: a recording that has shown it counts.
func TestMatchingKnowsWhatWasMeasured(t *testing.T) {
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		text string
		want float64
	}{
		"nobody":           {"", 0},
		"the second":       {"measured: {louder_db: 20}", -10},
		"the second's key": {"measured: {keys: [{key: 67, level_db: 20}]}", -10},
	} {
		text := fmt.Sprintf("swellbox: 1\nname: louder\nextends: plain\nsampler: {%s}\n", c.text)
		doc, err := profiles.Parse("louder.yaml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		if err := lib.Add(doc); err != nil {
			t.Fatal(err)
		}
		m := newMatching(1, new(colours))
		for channel, profile := range []string{"plain", "louder"} {
			p, err := lib.Resolve(profile)
			if err != nil {
				t.Fatal(err)
			}
			m.seat(0, channel, p)
		}
		// Raw, the first is 10 dB louder than the second; shaped, the other way about.
		loud, soft := byte(100), byte(56)
		for i := range 120 {
			for side, velocities := range map[expr.Side][2]byte{expr.Raw: {loud, soft}, expr.Shaped: {soft, loud}} {
				for channel, v := range velocities {
					e := expr.Short(time.Duration(i)*100*ms, 0, 0x90|byte(channel), 67, v)
					e.Side = side
					m.take(&e)
				}
			}
		}
		if got, ok := m.louderDB(); !ok || math.Abs(got-c.want) > 0.6 {
			t.Errorf("%s was measured to be louder: raw is %.1f dB louder (%v), want %.1f", name, got, ok, c.want)
		}
	}
}
