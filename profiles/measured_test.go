package profiles

import (
	"strings"
	"testing"
	"time"
)

const measuredHorn = `swellbox: 1
controller_map: measured-horn-1
measured: {part: Horn 1, profile: horn, program: 61, on: "2026-12-31", by: a tester}
everyone:
  marks: {carried_by: both}
  sampler:
    measured:
      louder_db: -3.5
      by_volume: true
      late_ms: 28
      own_vibrato_cents: 12
      keys: [{key: 40, level_db: -2}, {key: 50, level_db: 3}]
`

// TestMeasuredMap reads what was measured, and finds it for the parts that it was measured of.
func TestMeasuredMap(t *testing.T) {
	l, err := NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{measuredHorn, strings.NewReplacer("horn-1", "horn-2", "Horn 1", "Horn 2", "61", "59").Replace(measuredHorn)} {
		m, err := ParseControllerMap("m.yaml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		if err := l.AddControllerMap(m); err != nil {
			t.Fatal(err)
		}
	}
	p, err := l.ResolveFor("horn", "measured-horn-1")
	if err != nil {
		t.Fatal(err)
	}
	m := p.Sampler.Measured
	if m == nil || m.LevelDB != -3.5 || !m.ByVolume || !m.Even || m.Attack != 28*time.Millisecond || m.VibratoCents != 12 {
		t.Fatalf("measured %+v", m)
	}
	for key, want := range map[int]float64{0: -2, 40: -2, 45: 0.5, 50: 3, 127: 3} {
		if got := m.KeyDB[key]; got != want {
			t.Errorf("key %d: %g dB, want %g", key, got, want)
		}
	}
	for _, c := range []struct {
		part, profile string
		program       int
		want          string
	}{
		{"horn 2", "horn", 0, "measured-horn-2"},
		{"Solo horn", "horn", 59, "measured-horn-2"},
		{"Solo horn", "horn", 0, "measured-horn-1"},
		{"Horn 1", "trumpet", 61, ""},
	} {
		if got := l.MeasuredMap(c.part, c.profile, c.program); got != c.want {
			t.Errorf("for %q as %s with program %d there is %q, want %q", c.part, c.profile, c.program, got, c.want)
		}
	}
	text, err := l.ShowOrigins("horn", "measured-horn-1")
	if err != nil || !strings.Contains(string(text), "measured on 2026-12-31 by a tester") {
		t.Errorf("%v; the profile with its map does not tell who measured it:\n%.600s", err, text)
	}
}

func TestMeasuredMapErrors(t *testing.T) {
	for bad, says := range map[string]string{
		"{key: 50, level_db: -2}, {key: 50, level_db: 3}": "wanted keys that rise",
		"{key: 40}": "the key level_db is missing",
		"":          "wanted a list of 1 to 128 levels",
	} {
		text := strings.Replace(measuredHorn, "{key: 40, level_db: -2}, {key: 50, level_db: 3}", bad, 1)
		if _, err := ParseControllerMap("m.yaml", []byte(text)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("keys [%s]: %v, want %q", bad, err, says)
		}
	}
}
