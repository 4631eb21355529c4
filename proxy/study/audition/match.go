package audition

import (
	"math"

	"swellbox/proxy/study/loudness"
)

// MatchedGains are the gains by which takes are written equally loud, by ITU-R BS.1770, as loud as
// lets none of them clip: the ear takes louder for better. Where one is silent they are equal.
func MatchedGains(takes ...*Take) ([]float64, error) {
	gains, loud := make([]float64, len(takes)), make([]float64, len(takes))
	common := math.Inf(1) // LKFS
	for i, t := range takes {
		m, err := loudness.Measure(t.Left, t.Right, SampleRate)
		if err != nil {
			return nil, err
		}
		if math.IsInf(m.Integrated, -1) {
			return TrueGains(takes...), nil
		}
		loud[i] = m.Integrated
		common = min(common, m.Integrated+20*math.Log10(CommonGain(t)))
	}
	for i := range gains {
		gains[i] = math.Pow(10, (common-loud[i])/20)
	}
	return gains, nil
}

// TrueGains are the gains by which takes are as loud to each other as they were played.
func TrueGains(takes ...*Take) []float64 {
	gains := make([]float64, len(takes))
	for i := range gains {
		gains[i] = CommonGain(takes...)
	}
	return gains
}
