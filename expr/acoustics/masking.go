package acoustics

import "math"

// SpreadDB is how far under a masker its excitation lies dz Bark above it, or
// below it where dz is negative; 0 at dz = 0 to within 0.01 dB.
//
// Source: M. R. Schroeder, B. S. Atal and J. L. Hall, JASA 66 (1979) 1647-1652,
// from secondary copies. It does not depend on the level.
func SpreadDB(dz float64) float64 {
	x := dz + 0.474
	return 15.81 + 7.5*x - 17.5*math.Sqrt(1+x*x)
}

// OffsetDB is how far under its excitation a masker masks, at z Bark: between
// that of noise (tonality 0) and that of a steady pure tone (tonality 1).
//
// Source: J. D. Johnston, IEEE J. Sel. Areas Commun. 6 (1988) 314-323, from memory.
func OffsetDB(z, tonality float64) float64 {
	return tonality*(toneMaskingNoiseDB+z) + (1-tonality)*noiseMaskingToneDB
}

// spreadReachDB under its masker, spreading is left out: 1 % of the weakest
// partial that we give an instrument. Ours.
const spreadReachDB = -80

// spreading is SpreadDB between bands as factors of power; from and to bound
// those that count for a masked band.
type spreading struct {
	factor   Bands // by masker's band
	from, to int
}

var spread = func() (rows [NumBands]spreading) {
	for at := range rows {
		row := &rows[at]
		row.from, row.to = NumBands, 0
		for masker := range row.factor {
			if db := SpreadDB(bandBark[at] - bandBark[masker]); db > spreadReachDB {
				row.factor[masker] = pow10(min(db, 0))
				row.from, row.to = min(row.from, masker), max(row.to, masker+1)
			}
		}
	}
	return rows
}()

// quietPower is QuietDB as power.
var quietPower = func() (q Bands) {
	for i := range q {
		q[i] = pow10(QuietDB(i))
	}
	return q
}()

// offsets is OffsetDB of the bands as factors of power.
func offsets(tonality float64) (o Bands) {
	for i := range o {
		o[i] = pow10(-OffsetDB(bandBark[i], tonality))
	}
	return o
}

// mask adds to masked what a masker of the given power in each band masks.
func mask(power, offset, masked *Bands) {
	for at := range masked {
		row := &spread[at]
		factors := row.factor[row.from:row.to]
		from := power[row.from:][:len(factors)]
		sum := 0.0
		for i, f := range factors {
			sum += f * from[i]
		}
		masked[at] += sum * offset[at]
	}
}

// MaskedThreshold is the power that a tone must have in each band to be heard
// beside a masker of the given power, both relative to 0 dB: what the masker
// masks and the threshold in quiet, added. tonality is 0 for noise and for what
// trembles like it, 1 for a steady pure tone.
func MaskedThreshold(masker *Bands, tonality float64) Bands {
	offset, masked := offsets(tonality), quietPower
	mask(masker, &offset, &masked)
	return masked
}
