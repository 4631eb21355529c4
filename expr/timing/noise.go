package timing

import (
	"math"
	"math/rand/v2"
	"time"
)

// Exponents of a player's [Noise]: the range that was found in players, and that of the
// deviations that listeners were given.
//
// Source: Hennig et al. 2011 (from memory).
const (
	LeastExponent   = 0.2
	MostExponent    = 1.3
	DefaultExponent = 0.9
)

// rows is the number of relaxations that a [Noise] is the sum of. Their memories are 1,
// 2, 4 .. 512 notes; so the slope holds down to a period of about 1000 notes, and
// deviations stay correlated "over tens of seconds" (Hennig et al. 2011) at any tempo.
const rows = 10

// decay is what is left of each row after a note.
var decay = func() (d [rows]float64) {
	for k := range d {
		d[k] = math.Exp(-1 / memory(k))
	}
	return d
}()

// memory is the time constant of a row, in notes.
func memory(row int) float64 { return math.Exp2(float64(row)) }

// Stream says whose deviations a [Noise] gives. A player's series depends on nothing
// else, so it is the same whether the others are there or not.
type Stream struct {
	Seed    uint64
	Port    uint16
	Channel uint8
}

// Noise is the series of one player's deviations from the beat, a number for each note,
// whose power falls with frequency f as 1/f^β: a player who is late now is likely to be
// late for a while.
//
// It is a sum of relaxations (first-order autoregressive series) with memories τ an
// octave apart. A relaxation's power density goes with variance·τ/(1+(2πfτ)²); with
// variances in proportion to τ^(β-1) the sum goes as 1/f^β between the longest and the
// shortest memory, for 0 < β < 2. Above that, where notes are too far apart to follow a
// relaxation, the sum would be too steep; white noise is added, as much as puts the power
// at 0.8 of the highest frequency where the law wants it.
//
// So a β of 0.2, 0.5, 0.9, 1.2, 1.3 comes out as 0.22, 0.52, 0.91, 1.20, 1.30 over series
// of 1024 notes.
//
// Source of the law: Hennig et al. 2011. The synthesis is ours.
type Noise struct {
	stream Stream
	source rand.PCG
	random *rand.Rand    // of source
	white  float64       // standard deviation of the white part, ns
	steady [rows]float64 // and of each row
	kick   [rows]float64 // standard deviation of what a note adds to a row, ns
	state  [rows]float64 // ns
}

// NewNoise makes the series of a player with a standard deviation about the beat and an
// exponent β, which is held within [LeastExponent] and [MostExponent]; 0 is
// [DefaultExponent]. A negative sd is 0.
func NewNoise(stream Stream, sd time.Duration, exponent float64) *Noise {
	if exponent == 0 || math.IsNaN(exponent) {
		exponent = DefaultExponent
	}
	exponent = min(max(exponent, LeastExponent), MostExponent)
	n := &Noise{stream: stream}
	n.random = rand.New(&n.source)

	var variance [rows]float64
	white := whitePart(exponent)
	total := white
	for k := range variance {
		variance[k] = math.Pow(memory(k), exponent-1)
		total += variance[k]
	}
	scale := float64(max(sd, 0)) / math.Sqrt(total)
	n.white = scale * math.Sqrt(white)
	for k, v := range variance {
		n.steady[k] = scale * math.Sqrt(v)
		n.kick[k] = n.steady[k] * math.Sqrt(1-decay[k]*decay[k])
	}
	n.Restart()
	return n
}

// whitePart is the variance of the white part where the row of memory 1 has variance 1:
// it sets the ratio of the powers at the frequencies low and high to that of the law.
func whitePart(exponent float64) float64 {
	const low, high = math.Pi / 8, 0.8 * math.Pi // radians a note
	ratio := math.Pow(high/low, -exponent)
	return max(0, (ratio*rowsPower(low, exponent)-rowsPower(high, exponent))/(1-ratio))
}

// rowsPower is the power density of all rows at a frequency in radians a note.
func rowsPower(frequency, exponent float64) float64 {
	sum := 0.0
	for k, d := range decay {
		sum += math.Pow(memory(k), exponent-1) * (1 - d*d) / (1 + d*d - 2*d*math.Cos(frequency))
	}
	return sum
}

// Restart goes back to the first note.
func (n *Noise) Restart() {
	n.source.Seed(n.stream.Seed, uint64(n.stream.Port)<<8|uint64(n.stream.Channel))
	for k := range n.state {
		n.state[k] = n.steady[k] * n.random.NormFloat64()
	}
}

// Next is the deviation at the player's next note, later if positive. It is normally
// distributed about 0, so it has no bound.
func (n *Noise) Next() time.Duration {
	sum := n.white * n.random.NormFloat64()
	for k := range n.state {
		sum += n.state[k]
		n.state[k] = decay[k]*n.state[k] + n.kick[k]*n.random.NormFloat64()
	}
	return time.Duration(math.Round(sum))
}
