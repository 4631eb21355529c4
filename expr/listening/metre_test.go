package listening

import (
	"math"
	"testing"
	"time"
)

// The figures follow from the formula of Parncutt 1994, from memory.
func TestTempoPrior(t *testing.T) {
	for period, want := range map[time.Duration]float64{350 * ms: .322, 500 * ms: .766, 700 * ms: 1, 1000 * ms: .741, 1400 * ms: .322} {
		printed(t, period.String(), TempoPrior(period), want, 3)
	}
	for _, period := range []time.Duration{0, -time.Second} {
		if p := TempoPrior(period); p != 0 {
			t.Errorf("a period of %v has %g", period, p)
		}
	}
}

// Common practice, no published source.
func TestBeatLevel(t *testing.T) {
	for _, row := range []struct {
		beats, unit int
		want        string // on each beat as signed
	}{
		{1, 4, "3"},
		{2, 4, "31"},
		{2, 2, "31"},
		{3, 4, "311"},
		{3, 8, "311"},
		{4, 4, "3121"},
		{4, 2, "3121"},
		{5, 4, "31111"},
		{6, 8, "311211"},
		{6, 4, "311211"},
		{7, 8, "3111111"},
		{8, 8, "31112111"},
		{9, 8, "311211211"},
		{12, 8, "311211211211"},
		{15, 16, "311211211211211"},
	} {
		quarters := 4 / float64(row.unit)
		bar := quarters * float64(row.beats)
		for i := range row.beats {
			want := int(row.want[i] - '0')
			place := float64(i) * quarters
			for _, p := range []float64{place, place - bar, place + 3*bar, place + .01, place - .01} {
				if got := BeatLevel(p, row.beats, row.unit); got != want {
					t.Errorf("%d/%d: %g quarters in it has level %d, want %d", row.beats, row.unit, p, got, want)
				}
			}
			for _, off := range []float64{1. / 2, 1. / 3, 2. / 3, 1. / 4, 1. / 8} {
				if got := BeatLevel(place+off*quarters, row.beats, row.unit); got != 0 {
					t.Errorf("%d/%d: %g of a beat after beat %d has level %d", row.beats, row.unit, off, i, got)
				}
			}
		}
	}
}

func TestBeatLevelOfNonsense(t *testing.T) {
	for _, row := range []struct {
		place       float64
		beats, unit int
	}{
		{0, 0, 4}, {0, 4, 0}, {0, -4, 4}, {0, 4, -4}, {math.NaN(), 4, 4}, {math.Inf(1), 4, 4}, {math.Inf(-1), 4, 4},
	} {
		if got := BeatLevel(row.place, row.beats, row.unit); got != 0 {
			t.Errorf("%v has level %d", row, got)
		}
	}
}
