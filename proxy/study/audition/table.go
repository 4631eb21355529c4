package audition

import "math"

const (
	tableSize = 2048
	tableBits = 11
	layerStep = 6   // dB at 3 kHz from one brightness layer to the next
	layerLow  = -36 // brightness of the darkest layer, dB at 3 kHz re mf
	layers    = 11  // up to +24 dB
)

// table is one cycle of a tone, with its first point again at the end.
type table [tableSize + 1]float32

// palette holds the tables of one instrument at one pitch from dark to bright,
// each of the power of 1. Between two neighbours one fades: their partials have
// the same phases, so the mixture is a tone of the brightness between. Tables
// are made when first asked for.
type palette struct {
	spec    *spectrum
	hz      float64
	limit   float64 // Hz, the highest partial at that pitch
	highest float64 // semitones of bend up that the tables can bear
	tables  [layers]*table
}

func newPalette(spec *spectrum, hz, span float64) *palette {
	limit, highest := reach(hz, span)
	return &palette{spec: spec, hz: hz, limit: limit, highest: highest}
}

// reach says how high a note of hz may go: limit is the highest frequency that a
// partial of it may have, and highest the farthest that it may be bent up, in
// semitones, so that no partial ever passes the ceiling, not even with the widest
// vibrato and the spread of a section.
func reach(hz, span float64) (limit, highest float64) {
	const stray = depthCents/200.0 + spreadCents/100.0
	limit = max(hz, ceilingHz*math.Exp2(-(span+stray)/12))
	return limit, min(span, 12*math.Log2(ceilingHz/hz)-stray)
}

// layer is the place of a brightness among the layers, 0..layers-1.
func layer(bright float64) float64 {
	return min(max((bright-layerLow)/layerStep, 0), layers-1)
}

func (p *palette) table(i int) *table {
	if p.tables[i] == nil {
		p.tables[i] = cycle(p.spec.harmonics(p.hz, layerLow+layerStep*float64(i), p.limit))
	}
	return p.tables[i]
}

var sine = func() (t [tableSize]float32) {
	for i := range t {
		t[i] = float32(math.Sin(2 * math.Pi * float64(i) / tableSize))
	}
	return t
}()

// cycle adds up sines of the given amplitudes, numbers 1, 2, …, to one cycle. Their
// phases keep the peak low and do not depend on the amplitudes.
//
// Source of the phases, -πk(k-1)/n: M. R. Schroeder, IEEE Trans. Inf. Theory 16
// (1970) 85-89, from memory; n is fixed, so that layers agree.
func cycle(amps []float64) *table {
	const n = 40
	t := new(table)
	for i, a := range amps {
		k := i + 1
		at := tableSize - tableSize*(k*(k-1)%(2*n))/(2*n)
		amp := float32(a)
		for j := range t[:tableSize] {
			t[j] += amp * sine[at&(tableSize-1)]
			at += k
		}
	}
	t[tableSize] = t[0]
	return t
}
