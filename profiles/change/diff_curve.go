package change

import (
	"fmt"
	"math"
	"strconv"

	"swellbox/expr"
)

// scale says how a change along an axis is told.
type scale uint8

const (
	db    scale = iota // as a difference in dB
	ratio              // in percent
)

// Mark is a dynamic mark and the velocity that notation programs send for it.
type Mark struct {
	Name     string
	Velocity float64
}

// Marks are the dynamic marks at which curves are compared and drawn. Source of
// the velocities: common practice, no published source.
var Marks = []Mark{{"pp", 33}, {"p", 49}, {"mp", 64}, {"mf", 80}, {"f", 96}, {"ff", 112}}

// axis says what a curve is of, and where two of them are compared.
type axis struct {
	about, unit string
	told        scale
	at          []Mark
	x           string // "velocity"
}

func velocityCurve(about, unit string, told scale) axis {
	return axis{about, unit, told, Marks, "velocity"}
}

// valueCurve is compared at the ends of a controller and at three values between:
// ours, not published.
func valueCurve(about, unit string, told scale) axis {
	var at []Mark
	for _, v := range []float64{0, 32, 64, 96, 127} {
		at = append(at, Mark{"value " + strconv.Itoa(int(v)), v})
	}
	return axis{about, unit, told, at, "value"}
}

// audible is the difference under which two points of a curve are told as equal:
// rounding, no sound.
const audible = 1e-9

// curve is how a curve differs: at the marks or, if it does not there, where it
// differs most.
func (ls *lines) curve(ax axis, a, b *expr.Curve) {
	if a == nil || b == nil {
		ls.words(ax.about, spanned(a, ax.unit), spanned(b, ax.unit))
		return
	}
	before := len(ls.all)
	for _, m := range ax.at {
		ls.point(ax, m.Name, a.At(m.Velocity), b.At(m.Velocity))
	}
	if len(ls.all) > before {
		return
	}
	most, at := audible, 0
	for v := range 128 {
		if d := math.Abs(a.At(float64(v)) - b.At(float64(v))); d > most {
			most, at = d, v
		}
	}
	ls.point(ax, fmt.Sprintf("%s %d", ax.x, at), a.At(float64(at)), b.At(float64(at)))
}

func (ls *lines) point(ax axis, at string, a, b float64) {
	about := ax.about + " at " + at
	switch {
	case math.Abs(a-b) <= audible:
	case ax.told == db:
		ls.level(about, ax.unit, a, b)
	default:
		ls.amount(about, ax.unit, a, b)
	}
}

func spanned(c *expr.Curve, unit string) string {
	if c == nil {
		return ""
	}
	lo, hi := c.Range()
	return fmt.Sprintf("%s to %s %s", decimal(lo, 2), decimal(hi, 2), unit)
}

// control is how a controller of the sampler differs.
func (ls *lines) control(of, unit string, told scale, a, b *expr.Control) {
	ls.words("controller of the "+of, number(a), number(b))
	if a.Has() && b.Has() {
		ls.words("resolution of the controller of the "+of, bits(a), bits(b))
		ls.curve(valueCurve(of+" of the player", unit, told), a.Response, b.Response)
	}
}

func number(c *expr.Control) string {
	if !c.Has() {
		return ""
	}
	return strconv.Itoa(c.Number)
}

func bits(c *expr.Control) string {
	if c.Fine {
		return "14 bits"
	}
	return "7 bits"
}
