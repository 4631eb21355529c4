package draw

import (
	"math"
	"strconv"
	"strings"

	"swellbox/profiles"
	"swellbox/profiles/change"
)

// axis is one axis of a plot.
type axis struct {
	label  string
	lo, hi float64
	ticks  []tick // rising
}

type tick struct {
	at   float64
	text string
}

// marked is the axis of velocities with the dynamic marks on it.
func marked() axis {
	a := axis{label: "velocity", lo: 1, hi: 127}
	for _, m := range change.Marks {
		a.ticks = append(a.ticks, tick{m.Velocity, m.Name})
	}
	return a
}

func velocities() []float64 {
	var vs []float64
	for _, m := range change.Marks {
		vs = append(vs, m.Velocity)
	}
	return vs
}

// values is the axis of the values of a controller.
func values() axis {
	a := axis{label: "value", lo: 0, hi: 127}
	for _, v := range []float64{0, 32, 64, 96, 127} {
		a.ticks = append(a.ticks, tick{v, strconv.Itoa(int(v))})
	}
	return a
}

// span is an axis with round ticks that covers lo to hi.
func span(label string, lo, hi float64) axis {
	if hi-lo < 1e-6 {
		hi = lo + 1
	}
	step := math.Pow(10, math.Floor(math.Log10((hi-lo)/2)))
	for _, times := range []float64{1, 2, 5, 10} {
		if (hi-lo)/(times*step) <= 6 {
			step *= times
			break
		}
	}
	a := axis{label: label, lo: math.Floor(lo/step+1e-9) * step, hi: math.Ceil(hi/step-1e-9) * step}
	for at := a.lo; at <= a.hi+step/2; at += step {
		a.ticks = append(a.ticks, tick{at, short(at)})
	}
	return a
}

// short is a number with at most one digit after the point.
func short(v float64) string {
	s := strings.TrimSuffix(strconv.FormatFloat(v, 'f', 1, 64), ".0")
	if s == "-0" {
		return "0"
	}
	return profiles.Minus(s)
}
