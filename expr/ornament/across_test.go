package ornament

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
)

// A chord is rolled in a sixty-fourth a note, within bounds of time and half of its length.
func TestRollStep(t *testing.T) {
	for _, c := range []struct {
		notes   int
		length  float64
		quarter time.Duration
		want    float64 // quarter notes
	}{
		{4, 4, 800 * time.Millisecond, .0625},
		{4, 4, 2 * time.Second, .035},              // no slower than 70 ms
		{4, 4, 250 * time.Millisecond, .1},         // no quicker than 25 ms
		{4, .25, 800 * time.Millisecond, .125 / 3}, // a short chord is out before its half
		{1, 1, time.Second, 0},
		{3, 0, time.Second, 0},
		{3, 1, 0, 0},
		{3, math.Inf(1), time.Second, 0},
	} {
		if got := RollStep(c.notes, c.length, c.quarter); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%d notes over %g quarters of %v: %g, want %g", c.notes, c.length, c.quarter, got, c.want)
		}
	}
}

func TestGlide(t *testing.T) {
	for _, c := range []struct {
		name     string
		from, to uint8
		length   float64
		scale    Scale
		fifths   int
		want     string // keys, and when the second is played
	}{
		{"chromatic", 60, 64, .25, Chromatic, 0, "60 61 62 63, 0.0625"},
		{"down", 64, 60, .25, Chromatic, 0, "64 63 62 61, 0.0625"},
		{"white keys", 60, 67, .25, Keys, 0, "60 62 64 65, 0.0625"},
		{"black keys", 61, 68, .25, Keys, 0, "61 63 66, 0.0833"},
		{"from white to black", 60, 63, .25, Keys, 0, "60 61 62, 0.0833"},
		{"a harp in two sharps", 60, 67, .25, Strings, 2, "60 61 62 64 66, 0.05"},
		{"a harp in three flats", 60, 67, .25, Strings, -3, "60 62 63 65, 0.0625"},
		{"held before it runs", 60, 62, 2, Chromatic, 0, "60 61, 1.88"},
		{"too many for its time", 48, 72, .1, Chromatic, 0, "48 53 58 63 68, 0.02"},
		{"to the next key", 60, 61, 1, Chromatic, 0, "60"},
		{"to itself", 60, 60, 1, Chromatic, 0, "60"},
	} {
		t.Run(c.name, func(t *testing.T) {
			notes := Glide(nil, c.from, c.to, c.length, time.Second, c.scale, c.fifths)
			var keys []string
			at := 0.
			for _, n := range notes {
				if math.Abs(n.At-at) > 1e-9 {
					t.Errorf("a note at %g, want %g", n.At, at)
				}
				at = n.At + n.Length
				keys = append(keys, fmt.Sprint(n.Key))
			}
			if math.Abs(at-c.length) > 1e-9 {
				t.Errorf("it ends at %g, want %g", at, c.length)
			}
			got := strings.Join(keys, " ")
			if len(notes) > 1 {
				got += fmt.Sprintf(", %.3g", notes[1].At)
			}
			if got != c.want {
				t.Errorf("%s, want %s", got, c.want)
			}
		})
	}
}
