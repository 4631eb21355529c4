package change

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"swellbox/profiles"
)

// Line is one difference between two profiles, in the words of music.
type Line struct {
	About  string `json:"about"`            // what is different: "vibrato depth at mf, low register"
	Before string `json:"before"`           // "32"; "none" for what is not there
	After  string `json:"after"`            // "40"
	Unit   string `json:"unit,omitempty"`   // "cents"
	Change string `json:"change,omitempty"` // "+25 %" or "+0.8 dB", where that helps
}

// String is the line as it is printed: "vibrato depth at mf, low register 32 → 40
// cents, +25 %".
func (l Line) String() string {
	s := fmt.Sprintf("%s %s → %s", l.About, l.Before, l.After)
	if l.Unit != "" {
		s += " " + l.Unit
	}
	if l.Change != "" {
		s += ", " + l.Change
	}
	return s
}

// lines gathers differences. What is equal adds none.
type lines struct{ all []Line }

func (ls *lines) add(l Line) { ls.all = append(ls.all, l) }

// words is a difference between two words.
func (ls *lines) words(about, a, b string) {
	if a != b {
		ls.add(Line{About: about, Before: orNone(a), After: orNone(b)})
	}
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}

// amount is a difference between two quantities that have a natural zero, with
// the change in percent.
func (ls *lines) amount(about, unit string, a, b float64) {
	if a == b {
		return
	}
	x, y := told(a, b)
	l := Line{About: about, Before: x, After: y, Unit: unit}
	if a != 0 {
		l.Change = percent((b - a) / math.Abs(a))
	}
	ls.add(l)
}

func percent(ratio float64) string {
	p := 100 * ratio
	if math.Abs(p) >= 1 {
		return profiles.Minus(fmt.Sprintf("%+.0f %%", p))
	}
	return profiles.Minus(fmt.Sprintf("%+.2g %%", p))
}

// level is a difference between two levels, with the change in dB.
func (ls *lines) level(about, unit string, a, b float64) {
	if a == b {
		return
	}
	x, y := told(a, b)
	change, _ := told(b-a, 0)
	if b > a {
		change = "+" + change
	}
	ls.add(Line{About: about, Before: x, After: y, Unit: unit, Change: change + " dB"})
}

// plain is a difference between two numbers of which neither a ratio nor a
// difference says more.
func (ls *lines) plain(about, unit string, a, b float64) {
	if a != b {
		x, y := told(a, b)
		ls.add(Line{About: about, Before: x, After: y, Unit: unit})
	}
}

func (ls *lines) time(about string, a, b time.Duration) {
	ls.amount(about, "ms", a.Seconds()*1000, b.Seconds()*1000)
}

// told is two numbers with as many digits, two after the point or more, as tell them apart.
func told(a, b float64) (string, string) {
	for digits := 2; digits < 12; digits++ {
		if x, y := decimal(a, digits), decimal(b, digits); x != y || a == b {
			return x, y
		}
	}
	return fmt.Sprint(a), fmt.Sprint(b)
}

func decimal(v float64, digits int) string {
	s := strings.TrimRight(strings.TrimRight(strconv.FormatFloat(v, 'f', digits, 64), "0"), ".")
	if s == "-0" {
		return "0"
	}
	return profiles.Minus(s)
}

// Note is the name of a MIDI note: 60, the middle C, is C4 (scientific pitch
// notation; which octave that is in MIDI is common practice, no published source).
func Note(n float64) string {
	names := [12]string{"C", "C♯", "D", "E♭", "E", "F", "F♯", "G", "A♭", "A", "B♭", "B"}
	whole := int(n)
	if float64(whole) != n || whole < 0 || whole > 127 {
		return decimal(n, 2)
	}
	return fmt.Sprintf("%s%d", names[whole%12], whole/12-1)
}
