package audition

import "math"

// burst is the noise of a stroke: bands that decay each at its own pace. The
// noise is the same at every stroke, so that strokes differ in level alone.
type burst struct {
	env   envelope
	level float64
	gain  float64 // of the channel, at the end of the last stretch
	bands []filter
	noise noise
}

// filter is one band at work.
type filter struct {
	biquad
	x1, x2, y1, y2 float64
	amp, keep      float64 // and the factor by which amp shrinks in a frame
}

// burstAttackMs keeps the start of the noise from being a click.
const burstAttackMs = 1

func newBurst(s *stroke, c *controls, level float64) *burst {
	b := &burst{env: newEnvelope(burstAttackMs), level: level, gain: c.gain(), noise: newNoise(0)}
	for _, band := range s.bands {
		plain, _ := band.noise()
		b.bands = append(b.bands, filter{
			biquad: bandPass(band.hz, band.q),
			amp:    band.amp / math.Sqrt(plain),
			keep:   decay(band.t60, 1),
		})
	}
	return b
}

func (b *burst) add(out []float32, c *controls) bool {
	n := len(out)
	from, to := b.env.advance(n)
	gain := c.gain()
	g, h := from*b.gain*b.level, to*gain*b.level
	b.gain = gain
	loudest := 0.0
	var sum [step]float64
	for j := range n {
		white := math.Sqrt(3) * (2*b.noise.unit() - 1) // a power of 1
		for i := range b.bands {
			sum[j] += b.bands[i].next(white)
		}
	}
	for j := range out {
		out[j] += float32(sum[j] * (g + (h-g)*float64(j)/float64(n)))
	}
	for i := range b.bands {
		loudest = max(loudest, b.bands[i].amp)
	}
	return loudest > gone && !b.env.done()
}

func (f *filter) next(x float64) float64 {
	y := f.b0*x + f.b1*f.x1 + f.b2*f.x2 - f.a1*f.y1 - f.a2*f.y2
	f.x2, f.x1 = f.x1, x
	f.y2, f.y1 = f.y1, y
	f.amp *= f.keep
	return y * f.amp
}

func (b *burst) release(ms float64) { b.env.end(ms) }
