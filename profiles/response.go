package profiles

import (
	"fmt"
	"slices"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
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
func response[T any](a axes, at func(*T) **expr.Curve) []key[T] {
	set := func(r *reader, n *yaml.Node, path string, to *T, c *expr.Curve, err error) {
		switch {
		case err != nil:
			r.fault(n, path, "%v", err)
		case *at(to) != nil:
			r.fault(n, path, "the curve is given twice, allowed is one of %v", responseKeys)
		default:
			*at(to) = c
		}
	}
	points := key[T]{"points", "the curve point by point: rising", a.form(), func(r *reader, n *yaml.Node, path string, to *T) {
		if knots, ok := r.points(n, path, a); ok {
			c, err := expr.NewCurve(knots...)
			set(r, n, path, to, c, err)
		}
	}}
	if !a.laws {
		return []key[T]{points}
	}
	setLaw := func(r *reader, n *yaml.Node, path string, to *T, c *expr.Curve, err error) {
		if err == nil && a.mf > 0 {
			c, err = reMF(c)
		}
		set(r, n, path, to, c, err)
	}
	return []key[T]{
		{"curve", "standard: 40·log10(v/127) dB, as General MIDI 2 has it", constForm("standard"), func(r *reader, n *yaml.Node, path string, to *T) {
			if !isWord(n, "standard") {
				r.fault(n, path, "found %s, allowed is standard", found(n))
				return
			}
			setLaw(r, n, path, to, expr.StandardLaw(), nil)
		}},
		{"range_db", "how many dB louder 127 is than 1, as much more with each doubling of the number", numberForm(lawLow, lawHigh), func(r *reader, n *yaml.Node, path string, to *T) {
			if v, ok := r.within(n, path, lawLow, lawHigh, "dB between 1 and 127"); ok {
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
func curveForm[T any](keys []key[T]) form {
	var ways []string
	for _, k := range keys {
		if slices.Contains(responseKeys, k.name) {
			ways = append(ways, k.name)
		}
	}
	return atMostOne(object(keys), ways)
}

// pointsLimit is the most points of a curve: one for each value.
const pointsLimit = 128

// keys are the two coordinates of a point.
func (a axes) keys() []key[expr.Point] {
	return []key[expr.Point]{
		{a.x, "what the sampler is sent", wholeForm(a.xLow, 127), func(r *reader, n *yaml.Node, path string, to *expr.Point) {
			if v, ok := r.wholeWithin(n, path, a.xLow, 127); ok {
				to.X = float64(v)
			}
		}},
		number(a.y, "what it makes of that", a.lo, a.hi, a.unit, func(p *expr.Point) *float64 { return &p.Y }),
	}
}

func (a axes) form() form { return listForm(object(a.keys(), a.x, a.y), 2, pointsLimit) }

// points reads the knots of a rising curve.
func (r *reader) points(n *yaml.Node, path string, a axes) ([]expr.Point, bool) {
	if n.Kind != yaml.SequenceNode || len(n.Content) < 2 || len(n.Content) > pointsLimit {
		r.fault(n, path, "found %s, wanted a list of 2 to %d points {%s: …, %s: …}", counted(n), pointsLimit, a.x, a.y)
		return nil, false
	}
	before := len(r.problems)
	knots := make([]expr.Point, len(n.Content))
	for i, entry := range n.Content {
		path := fmt.Sprintf("%s[%d]", path, i+1)
		for _, name := range []string{a.x, a.y} {
			if entry.Kind == yaml.MappingNode && child(entry, name) == nil {
				r.fault(entry, path, "the key %s is missing", name)
			}
		}
		mapping(r, entry, path, a.keys(), &knots[i])
	}
	if len(r.problems) == before && knots[len(knots)-1].Y <= knots[0].Y {
		r.fault(n, path, "the curve must rise, found %g %s at its end after %g at its beginning", knots[len(knots)-1].Y, a.unit, knots[0].Y)
	}
	return knots, len(r.problems) == before
}

// counted is found with the length of a list.
func counted(n *yaml.Node) string {
	if n.Kind == yaml.SequenceNode {
		return fmt.Sprintf("a list of %d", len(n.Content))
	}
	return found(n)
}

// control is a controller as a document gives it, perhaps in parts that only
// its parents complete.
type control struct {
	none bool
	expr.Control
}

// controller is a key for a control: a mapping, or "none" for a player without it.
func controller[T any](name, about string, a axes, at func(*T) *control) key[T] {
	keys := append([]key[control]{
		{"controller", "number of the controller", form{"type": "integer", "minimum": 1, "maximum": 119, "not": form{"enum": reservedNumbers()}}, func(r *reader, n *yaml.Node, path string, to *control) {
			v, ok := r.wholeWithin(n, path, 1, 119)
			if ok && reserved[v] != "" {
				r.fault(n, path, "controller %d is taken by MIDI for %s", v, reserved[v])
			} else if ok {
				to.Number = v
			}
		}},
		{"bits", "14 sends the finer part on the controller 32 higher", form{"enum": []int{7, 14}}, func(r *reader, n *yaml.Node, path string, to *control) {
			if v, ok := decimal(n); !ok || v != 7 && v != 14 {
				r.fault(n, path, "found %s, allowed is 7 or 14", found(n))
			} else {
				to.Fine = v == 14
			}
		}},
	}, response(a, func(c *control) **expr.Curve { return &c.Response })...)
	return key[T]{name, inUnit(about, a.unit), either(constForm("none"), curveForm(keys)), func(r *reader, n *yaml.Node, path string, to *T) {
		if isWord(n, "none") {
			at(to).none = true
			return
		}
		mapping(r, n, path, keys, at(to))
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
