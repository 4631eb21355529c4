package profiles

import (
	"fmt"
	"slices"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
	"swellbox/profiles/reading"
)

// axes are the keys, ranges and unit of a curve's two coordinates.
type axes struct {
	x      string // "value" or "velocity", a whole number up to 127
	xLow   int
	y      string
	lo, hi float64
	unit   string
	laws   bool // a level, which may be given as a law in place of points
	mf     int  // velocity at which a law reads 0 dB; 0 if a law is re full
}

// silence is the least level that a document may give, dB re full: about the
// range of hearing from threshold to pain (acoustics textbooks).
const silence = -120

var (
	velocityAxes   = axes{x: "velocity", xLow: 1, y: "level_db", lo: silence, hi: 24, unit: "dB", laws: true}
	readingAxes    = axes{x: "velocity", xLow: 1, y: "level_db", lo: silence, hi: 60, unit: "dB against mf", laws: true, mf: mfVelocity}
	levelAxes      = axes{x: "value", y: "level_db", lo: silence, hi: 24, unit: "dB", laws: true}
	depthAxes      = axes{x: "value", y: "cents", lo: 0, hi: 1200, unit: "cents, peak to peak"}
	rateAxes       = axes{x: "value", y: "hz", lo: 0, hi: 20, unit: "Hz"}
	delayAxes      = axes{x: "value", y: "ms", lo: 0, hi: 10000, unit: "ms"}
	brightnessAxes = axes{x: "value", y: "db", lo: -60, hi: 60, unit: "dB at 3 kHz"}
)

// mfVelocity is the velocity that notation programs send for mf (common
// practice, no published source).
const mfVelocity = 80

// responseKeys are the ways to give a curve. A mapping has exactly one of them,
// so a child that gives one drops what its parent gave.
var responseKeys = []string{"curve", "range_db", "points"}

// Dannenberg's players have 20 to 60 dB between velocity 1 and 127; the bounds leave
// room around them (ours, not published).
const lawLow, lawHigh = 6, 96

// response are the keys for a curve on the axes a.
func response[T any](a axes, at func(*T) **expr.Curve) []reading.Key[T] {
	set := func(r *reading.Reader, n *yaml.Node, path string, to *T, c *expr.Curve, err error) {
		switch {
		case err != nil:
			r.Fault(n, path, "%v", err)
		case *at(to) != nil:
			r.Fault(n, path, "the curve is given twice, allowed is one of %v", responseKeys)
		default:
			*at(to) = c
		}
	}
	points := reading.Key[T]{Name: "points", About: "the curve point by point: rising", Form: a.form(), Read: func(r *reading.Reader, n *yaml.Node, path string, to *T) {
		if knots, ok := readPoints(r, n, path, a); ok {
			c, err := expr.NewCurve(knots...)
			set(r, n, path, to, c, err)
		}
	}}
	if !a.laws {
		return []reading.Key[T]{points}
	}
	setLaw := func(r *reading.Reader, n *yaml.Node, path string, to *T, c *expr.Curve, err error) {
		if err == nil && a.mf > 0 {
			c, err = reMF(c)
		}
		set(r, n, path, to, c, err)
	}
	return []reading.Key[T]{
		{Name: "curve", About: "standard: 40·log10(v/127) dB, as General MIDI 2 has it", Form: reading.ConstForm("standard"), Read: func(r *reading.Reader, n *yaml.Node, path string, to *T) {
			if !reading.IsWord(n, "standard") {
				r.Fault(n, path, "found %s, allowed is standard", reading.Found(n))
				return
			}
			setLaw(r, n, path, to, expr.StandardLaw(), nil)
		}},
		{Name: "range_db", About: "how many dB louder 127 is than 1, as much more with each doubling of the number", Form: reading.NumberForm(lawLow, lawHigh), Read: func(r *reading.Reader, n *yaml.Node, path string, to *T) {
			if v, ok := r.Within(n, path, lawLow, lawHigh, "dB between 1 and 127"); ok {
				c, err := expr.PowerLaw(v)
				setLaw(r, n, path, to, c, err)
			}
		}},
		points,
	}
}

// reMF is the curve c of levels by velocity moved so that mf reads 0 dB.
func reMF(c *expr.Curve) (*expr.Curve, error) {
	mf := c.At(mfVelocity)
	knots := make([]expr.Point, 127)
	for i := range knots {
		v := float64(i + 1)
		knots[i] = expr.Point{X: v, Y: c.At(v) - mf}
	}
	return expr.NewCurve(knots...)
}

// curveForm is the form of a mapping that has a curve, among its other keys.
func curveForm[T any](keys []reading.Key[T]) reading.Form {
	var ways []string
	for _, k := range keys {
		if slices.Contains(responseKeys, k.Name) {
			ways = append(ways, k.Name)
		}
	}
	return reading.AtMostOne(reading.Object(keys), ways)
}

// pointsLimit is the most points of a curve: one for each value.
const pointsLimit = 128

// keys are the two coordinates of a point.
func (a axes) keys() []reading.Key[expr.Point] {
	return []reading.Key[expr.Point]{
		{Name: a.x, About: "what the sampler is sent", Form: reading.WholeForm(a.xLow, 127), Read: func(r *reading.Reader, n *yaml.Node, path string, to *expr.Point) {
			if v, ok := r.WholeWithin(n, path, a.xLow, 127); ok {
				to.X = float64(v)
			}
		}},
		reading.Number(a.y, "what it makes of that", a.lo, a.hi, a.unit, func(p *expr.Point) *float64 { return &p.Y }),
	}
}

func (a axes) form() reading.Form {
	return reading.ListForm(reading.Object(a.keys(), a.x, a.y), 2, pointsLimit)
}

// readPoints reads the knots of a rising curve.
func readPoints(r *reading.Reader, n *yaml.Node, path string, a axes) ([]expr.Point, bool) {
	if n.Kind != yaml.SequenceNode || len(n.Content) < 2 || len(n.Content) > pointsLimit {
		r.Fault(n, path, "found %s, wanted a list of 2 to %d points {%s: …, %s: …}", reading.Counted(n), pointsLimit, a.x, a.y)
		return nil, false
	}
	before := len(r.Problems)
	knots := make([]expr.Point, len(n.Content))
	for i, entry := range n.Content {
		path := fmt.Sprintf("%s[%d]", path, i+1)
		for _, name := range []string{a.x, a.y} {
			if entry.Kind == yaml.MappingNode && reading.Child(entry, name) == nil {
				r.Fault(entry, path, "the key %s is missing", name)
			}
		}
		reading.Mapping(r, entry, path, a.keys(), &knots[i])
	}
	if len(r.Problems) == before && knots[len(knots)-1].Y <= knots[0].Y {
		r.Fault(n, path, "the curve must rise, found %g %s at its end after %g at its beginning", knots[len(knots)-1].Y, a.unit, knots[0].Y)
	}
	return knots, len(r.Problems) == before
}

// control is a controller as a document gives it, perhaps in parts that only
// its parents complete.
type control struct {
	none bool
	expr.Control
}

// controller is a key for a control: a mapping, or "none" for a player without it.
func controller[T any](name, about string, a axes, at func(*T) *control) reading.Key[T] {
	keys := append([]reading.Key[control]{
		{Name: "controller", About: "number of the controller", Form: reading.Form{"type": "integer", "minimum": 1, "maximum": 119, "not": reading.Form{"enum": reservedNumbers()}}, Read: func(r *reading.Reader, n *yaml.Node, path string, to *control) {
			v, ok := r.WholeWithin(n, path, 1, 119)
			if ok && reserved[v] != "" {
				r.Fault(n, path, "controller %d is taken by MIDI for %s", v, reserved[v])
			} else if ok {
				to.Number = v
			}
		}},
		{Name: "bits", About: "14 sends the finer part on the controller 32 higher", Form: reading.Form{"enum": []int{7, 14}}, Read: func(r *reading.Reader, n *yaml.Node, path string, to *control) {
			if v, ok := reading.Decimal(n); !ok || v != 7 && v != 14 {
				r.Fault(n, path, "found %s, allowed is 7 or 14", reading.Found(n))
			} else {
				to.Fine = v == 14
			}
		}},
	}, response(a, func(c *control) **expr.Curve { return &c.Response })...)
	return reading.Key[T]{Name: name, About: reading.InUnit(about, a.unit), Form: reading.Either(reading.ConstForm("none"), curveForm(keys)), Read: func(r *reading.Reader, n *yaml.Node, path string, to *T) {
		if reading.IsWord(n, "none") {
			at(to).none = true
			return
		}
		reading.Mapping(r, n, path, keys, at(to))
	}}
}

// reserved are the controllers that carry no level or depth of their own.
// Source: MIDI 1.0 Detailed Specification, table of controllers (from memory).
var reserved = [120]string{
	6: "data entry", 32: "the bank", 38: "data entry", 64: "the damper pedal", 66: "the sostenuto pedal",
	96: "data increment", 97: "data decrement",
	98: "parameter numbers", 99: "parameter numbers", 100: "parameter numbers", 101: "parameter numbers",
}

func reservedNumbers() []int {
	var numbers []int
	for n, what := range reserved {
		if what != "" {
			numbers = append(numbers, n)
		}
	}
	return numbers
}
