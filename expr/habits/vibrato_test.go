package habits

import (
	"math"
	"testing"
	"time"

	"swellbox/expr"
)

func soloist() *expr.Profile {
	return &expr.Profile{Vibrato: expr.Vibrato{
		LowPitch: 55, HighPitch: 88, DepthLow: 29, DepthHigh: 33, RateLow: 6.7, RateHigh: 6.7,
		Growth: 60 * time.Millisecond, LateOnset: 400 * time.Millisecond, Choice: 1,
	}}
}

// The shares of notes with vibrato, and when it has come to 15 cents, are those of violinists.
func TestASoloistsVibrato(t *testing.T) {
	for _, c := range []struct {
		from, to     time.Duration
		least, most  float64       // share
		first, until time.Duration // of 15 cents
	}{
		{50 * time.Millisecond, 150 * time.Millisecond, 0, 0, 0, 0},
		{150 * time.Millisecond, 300 * time.Millisecond, 0, 0.22, 0, 91 * time.Millisecond},
		{300 * time.Millisecond, 600 * time.Millisecond, 0.2, 0.3, 0, 91 * time.Millisecond},
		{600 * time.Millisecond, 1200 * time.Millisecond, 0.44, 0.72, 0, 198 * time.Millisecond},
		{1201 * time.Millisecond, 4 * time.Second, 0.69, 0.83, 257 * time.Millisecond, 605 * time.Millisecond},
	} {
		with, all := 0.0, 0.0
		for i := range 4000 {
			n := &expr.Note{Profile: soloist(), Amount: 1, Key: uint8(56 + i%31)}
			n.LastKey, n.NextKey = 56+(i/31)%17, 56+(i/7)%19
			n.Length = c.from + time.Duration(i)*(c.to-c.from)/4000
			g := &expr.Gesture{}
			all++
			if !(Vibrato{}).Shape(n, g) {
				continue
			}
			with++
			at := time.Duration(0)
			for g.VibratoAt(at) < 15 && at < n.Length {
				at += time.Millisecond
			}
			if at < c.first || at > c.until {
				t.Fatalf("on a note of %v the vibrato has come to 15 cents after %v, want %v to %v", n.Length, at, c.first, c.until)
			}
		}
		if share := with / all; share < c.least || share > c.most {
			t.Errorf("of notes of %v to %v %.2f have vibrato, want %.2f to %.2f", c.from, c.to, share, c.least, c.most)
		}
	}
}

// A figure that comes again is played alike, wherever it stands.
func TestASoloistChoosesAlike(t *testing.T) {
	for i := range 200 {
		n := &expr.Note{Profile: soloist(), Amount: 1, Key: uint8(60 + i%12)}
		n.LastKey, n.NextKey, n.Length = 60, 62+i%5, time.Duration(300+5*i)*time.Millisecond
		g, h := &expr.Gesture{}, &expr.Gesture{}
		a := (Vibrato{}).Shape(n, g)
		m := *n
		m.Key, m.LastKey, m.NextKey, m.On = n.Key+2, n.LastKey+2, n.NextKey+2, time.Hour
		if b := (Vibrato{}).Shape(&m, h); a != b {
			t.Fatalf("note %d is %v, and %v a tone higher", i, a, b)
		}
	}
}

// Who does not know how long a note lasts gives it vibrato.
func TestASoloistInTheDark(t *testing.T) {
	n := &expr.Note{Profile: soloist(), Amount: 1, Key: 70}
	n.Length = expr.Unknown
	g := &expr.Gesture{}
	if !(Vibrato{}).Shape(n, g) || math.Abs(g.VibratoCents-31) > 3 {
		t.Errorf("a note of which nobody knows the length has %v cents", g.VibratoCents)
	}
}
