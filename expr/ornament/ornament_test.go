package ornament

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/quick"
	"time"
)

// text tells notes: key in semitones from the main note, and how long in ms.
func text(notes []Note, key uint8, quarter time.Duration) string {
	var out []string
	for _, n := range notes {
		out = append(out, fmt.Sprintf("%+d:%.0f", int(n.Key)-int(key), n.Length*quarter.Seconds()*1000))
	}
	return strings.Join(out, " ")
}

// The shapes are those on which tables of ornaments agree (common practice, no single published source).
func TestPlay(t *testing.T) {
	const second = time.Second
	for _, c := range []struct {
		name    string
		sign    Sign
		length  float64
		quarter time.Duration
		want    string
	}{
		{"none", Sign{}, 1, second, "+0:1000"},
		{"mordent", Sign{Kind: Mordent, Upper: 2, Lower: 1}, 1, second, "+0:110 -1:110 +0:780"},
		{"mordent at a quick tempo", Sign{Kind: Mordent, Lower: 2}, 1, 300 * time.Millisecond, "+0:60 -2:60 +0:180"},
		{"long mordent", Sign{Kind: Mordent, Lower: 2, Long: true}, 1, second / 2, "+0:62 -2:62 +0:62 -2:62 +0:250"},
		{"upper mordent", Sign{Kind: UpperMordent, Upper: 2}, 1, second / 2, "+0:62 +2:62 +0:375"},
		{"turn", Sign{Kind: Turn, Upper: 2, Lower: 1}, 1, second / 2, "+2:62 +0:62 -1:62 +0:312"},
		{"turn on a short note", Sign{Kind: Turn, Upper: 2, Lower: 1}, .25, second, "+2:62 +0:62 -1:62 +0:62"},
		{"turn upside down", Sign{Kind: LowerTurn, Upper: 2, Lower: 1}, .25, second, "-1:62 +0:62 +2:62 +0:62"},
		{"late turn", Sign{Kind: LateTurn, Upper: 1, Lower: 2}, 1, second / 2, "+0:250 +1:62 +0:62 -2:62 +0:62"},
		{"trill", Sign{Kind: Trill, Upper: 2}, 1, second / 2, "+2:83 +0:83 +2:83 +0:83 +2:83 +0:83"},
		{"trill from the main note", Sign{Kind: Trill, Upper: 1, FromMain: true}, 1, second / 2, "+0:100 +1:100 +0:100 +1:100 +0:100"},
		{"trill with a turn", Sign{Kind: Trill, Upper: 2, Lower: 1, Turned: true}, 1, second / 2, "+2:83 +0:83 +2:83 +0:83 -1:83 +0:83"},
		{"trill on a short note", Sign{Kind: Trill, Upper: 2}, .5, second / 2, "+0:62 +2:62 +0:125"},
		{"trill on a very short note", Sign{Kind: Trill, Upper: 2}, .125, second / 2, "+0:62"},
		{"quavers", Sign{Kind: Tremolo, Strokes: 1}, 2, second, "+0:500 +0:500 +0:500 +0:500"},
		{"tremolo", Sign{Kind: Tremolo, Strokes: 3}, .5, second, "+0:125 +0:125 +0:125 +0:125"},
		{"tremolo faster than can be played", Sign{Kind: Tremolo, Strokes: 4}, 1, second / 4, "+0:62 +0:62 +0:62 +0:62"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := text(c.sign.Play(nil, 60, c.length, c.quarter), 60, c.quarter); got != c.want {
				t.Errorf("%s, want %s", got, c.want)
			}
		})
	}
}

func TestPlayBetween(t *testing.T) {
	got := Sign{Kind: Alternate, Strokes: 2}.PlayBetween(nil, []uint8{60, 64}, []uint8{67}, 1, time.Second)
	if s := text(got, 60, time.Second); s != "+0:250 +4:250 +7:250 +0:250 +4:250 +7:250" {
		t.Error(s)
	}
}

// Whatever the sign, what is played fills the written note, in order and without gaps.
func TestPlayFillsTheNote(t *testing.T) {
	whole := func(kind, upper, lower, strokes, key uint8, flags [3]bool, length uint16, ms uint16) bool {
		s := Sign{Kind: Kind(kind % 10), Upper: 1 + upper%3, Lower: 1 + lower%3, Strokes: strokes % 9,
			FromMain: flags[0], Turned: flags[1], Long: flags[2]}
		l := float64(length%4000+1) / 100
		at := 0.
		for _, n := range s.Play(nil, key%128, l, time.Duration(ms%4000+1)*time.Millisecond) {
			if math.Abs(n.At-at) > 1e-9 || !(n.Length > 0) || n.Key > 127 {
				t.Logf("%+v over %g: %+v at %g", s, l, n, at)
				return false
			}
			at += n.Length
		}
		return math.Abs(at-l) < 1e-9
	}
	if err := quick.Check(whole, &quick.Config{MaxCount: 5000}); err != nil {
		t.Error(err)
	}
}
