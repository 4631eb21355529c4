package acoustics

import "math"

// ContourDB is the level in dB of a pure tone in the middle of a third-octave band
// that is as loud as a tone of 1 kHz at phon dB. It holds for 20 to 90 phon up to
// 4 kHz and to 80 phon above.
//
// Source: ISO 226:2023, equation 1, from a secondary copy.
func ContourDB(band int, phon float64) float64 {
	c := &contours[band]
	x := c.scale*(pow10(0.3*phon)-thresholdPower) + c.quiet
	return 10/c.alpha*math.Log10(x) - c.lu
}

// PhonOf is the inverse of [ContourDB]: the loudness level of a pure tone, held
// at 0 phon.
func PhonOf(band int, db float64) float64 {
	c := &contours[band]
	x := (pow10(c.alpha*(db+c.lu))-c.quiet)/c.scale + thresholdPower
	if x <= 1 {
		return 0
	}
	return 10 / 0.3 * math.Log10(x)
}

// QuietDB is the threshold of hearing in quiet in a third-octave band, in dB.
//
// Source: ISO 226:2023, Tf.
func QuietDB(band int) float64 { return contours[band].tf }

// thresholdPower is 10^0.072 of ISO 226:2023: at 2.4 phon a tone is just heard.
var thresholdPower = math.Pow(10, 0.072)

// contour is a row of ISO 226 with what follows from it.
type contour struct {
	alpha, lu, tf float64
	scale         float64 // (4·10⁻¹⁰)^(0.3-α)
	quiet         float64 // 10^(α(Tf+Lu)/10)
}

var contours = func() (cs [NumBands]contour) {
	for i, r := range iso226 {
		cs[i] = contour{r.alpha, r.lu, r.tf, math.Pow(4e-10, 0.3-r.alpha), pow10(r.alpha * (r.tf + r.lu))}
	}
	return cs
}()

// WeightDB is how the ear weighs a band against 1 kHz at the level of an
// orchestra's forte, in dB: the distance of the contour of weightPhon from
// that of 1 kHz. Strength in this package means a level weighted like this.
func WeightDB(band int) float64 { return weightPhon - ContourDB(band, weightPhon) }

var earWeight, aPower = func() (ear, a Bands) {
	for i := range ear {
		ear[i], a[i] = pow10(WeightDB(i)), pow10(aWeighting[i])
	}
	return ear, a
}()

// AWeightDB is the A-weighting of a third-octave band, in dB.
//
// Source: IEC 61672-1:2013, table 3.
func AWeightDB(band int) float64 { return aWeighting[band] }

// Sone is the loudness of a loudness level in phon: twice as loud for 10 phon.
//
// Source: S. S. Stevens's law with its anchor at 40 phon, 1 sone (ISO 532-2:2017,
// 3.17); below 40 phon by (P/40)^2.642, from memory.
func Sone(phon float64) float64 {
	if phon < 40 {
		return math.Pow(max(phon, 0)/40, 2.642)
	}
	return math.Exp2((phon - 40) / 10)
}

// Phon is the inverse of [Sone].
func Phon(sone float64) float64 {
	if sone < 1 {
		return 40 * math.Pow(max(sone, 0), 1/2.642)
	}
	return 40 + 10*math.Log2(sone)
}

// Loudness is the loudness in sone of a sound whose power in each band is given
// relative to that of 0 dB: the loudest band counts fully, the others by the share
// that it leaves them. A pure tone has the loudness of its contour.
//
// Source: S. S. Stevens, "Procedure for calculating loudness: Mark VI", JASA 33
// (1961) 1577-1585, from memory, with each band's loudness by ISO 226 in place of his
// own contours, which is ours.
func Loudness(power *Bands) float64 {
	sum, top := 0.0, 0.0
	for i, p := range power {
		if p <= 0 {
			continue
		}
		s := Sone(PhonOf(i, db10(p)))
		sum += s
		top = max(top, s)
	}
	return top + bandShare*(sum-top)
}
