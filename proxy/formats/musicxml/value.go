package musicxml

import (
	"math"
	"strconv"
	"strings"
)

// whole reads a whole number within bounds. Others are read over.
func (r *reader) whole(what, text string, low, high int) (int, bool) {
	n, err := strconv.Atoi(text)
	if err != nil || n < low || n > high {
		r.warn("%s must be a whole number from %d to %d, found %.40q; it is ignored", what, low, high, text)
		return 0, false
	}
	return n, true
}

// decimal reads a number within bounds. Others are read over.
func (r *reader) decimal(what, text string, low, high float64) (float64, bool) {
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || !(x >= low && x <= high) {
		r.warn("%s must be a number from %g to %g, found %.40q; it is ignored", what, low, high, text)
		return 0, false
	}
	return x, true
}

// passes is the set of times through a repeat of a list such as "1, 2": bit n for
// the time n. It is empty where the list is. Times over 63 are left out.
func (r *reader) passes(text string) (set uint64) {
	for _, s := range strings.FieldsFunc(text, func(c rune) bool { return c == ',' || c == ' ' }) {
		if n, ok := r.whole("a time through a repeat", s, 1, maxTimes); ok {
			set |= 1 << n
		}
	}
	return set
}

// quarterTicks is how many ticks of our own a quarter note has, so that times in any
// usual divisions are whole: 2^10·3^3·5·7·11·13.
const quarterTicks = 1 << 10 * 27 * 5 * 7 * 11 * 13

// ticks is a number of quarter notes in ticks.
func ticks(quarters float64) int64 { return int64(math.Round(quarters * quarterTicks)) }

// quarters is a number of ticks in quarter notes.
func quarters(ticks int64) float64 { return float64(ticks) / quarterTicks }
