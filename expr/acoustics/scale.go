package acoustics

import "math"

// pow10 is 10^(db/10): dB to power.
func pow10(db float64) float64 { return math.Exp(db * (math.Ln10 / 10)) }

// db10 is the inverse of pow10.
func db10(power float64) float64 { return 10 / math.Ln10 * math.Log(power) }

// within is how far x is on the way from a to b, 0 to 1; what is no number is at a.
func within(x, a, b float64) float64 {
	t := (x - a) / (b - a)
	if !(t > 0) {
		return 0
	}
	return min(t, 1)
}
