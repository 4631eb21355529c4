package musicxml

import (
	"math"
	"strconv"
	"strings"
)

// whole reads a whole number within bounds. Others are read over.
func (r *page) whole(what, text string, low, high int) (int, bool) {
	n, err := strconv.Atoi(text)
	if err != nil || n < low || n > high {
		r.warn("%s must be a whole number from %d to %d, found %.40q; it is ignored", what, low, high, text)
		return 0, false
	}
	return n, true
}

// decimal reads a number within bounds. Others are read over.
func (r *page) decimal(what, text string, low, high float64) (float64, bool) {
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || !(x >= low && x <= high) {
		r.warn("%s must be a number from %g to %g, found %.40q; it is ignored", what, low, high, text)
		return 0, false
	}
	return x, true
}

// passes is the set of times through a repeat of a list such as "1, 2": bit n for
// the time n. It is empty where the list is. Times over 63 are left out.
func (r *page) passes(text string) (set uint64) {
	for _, s := range strings.FieldsFunc(text, func(c rune) bool { return c == ',' || c == ' ' }) {
		if n, ok := r.whole("a time through a repeat", s, 1, maxTimes); ok {
			set |= 1 << n
		}
	}
	return set
}

// forte is the velocity of which MusicXML's dynamics attributes are percentages
// (MusicXML 4.0, note and sound).
const forte = 90

// percent is the velocity of a percentage of forte; 0 where it is none.
func (r *page) percent(text string) uint8 {
	x, ok := r.decimal("dynamics", text, 0, 1e6)
	if !ok {
		return 0
	}
	return uint8(min(max(math.Round(x/100*forte), 1), 127))
}

// duration reads a number of divisions.
func (r *page) duration() (float64, error) {
	text, err := r.xml.text()
	if err != nil {
		return 0, err
	}
	divisions, _ := r.decimal("a duration", text, 0, maxMeasure*maxDivisions)
	return divisions, nil
}

// maxTimes bounds how many times a section is played.
const maxTimes = 63

// quarterTicks is how many ticks of our own a quarter note has, so that times in any
// usual divisions are whole: 2^10·3^3·5·7·11·13.
const quarterTicks = 1 << 10 * 27 * 5 * 7 * 11 * 13

// ticks is a number of quarter notes in ticks.
func ticks(quarters float64) int64 { return int64(math.Round(quarters * quarterTicks)) }

// quarters is a number of ticks in quarter notes.
func quarters(ticks int64) float64 { return float64(ticks) / quarterTicks }

// values are the lengths of notes by their names, in ticks.
var values = map[string]int64{
	"long": 16 * quarterTicks, "breve": 8 * quarterTicks,
	"whole": 4 * quarterTicks, "half": 2 * quarterTicks, "quarter": quarterTicks,
	"eighth": quarterTicks / 2, "16th": quarterTicks / 4, "32nd": quarterTicks / 8,
	"64th": quarterTicks / 16, "128th": quarterTicks / 32, "256th": quarterTicks / 64,
	"512th": quarterTicks / 128, "1024th": quarterTicks / 256,
}

const (
	// maxDivisions bounds the divisions of a quarter note (16383 in the standard).
	maxDivisions = 1 << 20
	// maxMeasure bounds a measure, in quarter notes.
	maxMeasure = 10_000
)
