package audition

import "math"

// maxDesks is how many voices stand for a section (ours: more players than that
// are heard as a section, not as a number).
const maxDesks = 5

// A section's players differ by these (ours): the spread of their intonation,
// each way, and of their rates of vibrato.
const (
	spreadCents = 6
	spreadRate  = .08
)

// tone is a sustained note: one voice, or several for a section, of the same table.
type tone struct {
	env   envelope
	pal   *palette
	level float64 // amplitude of one voice with the controllers at full
	dB    float64 // of the velocity under full
	place float64 // among the layers of brightness, at the end of the last stretch
	gain  float64 // of the channel, there
	rate  float64 // Hz of vibrato; 0: none
	desks [maxDesks]desk
	count int
	fresh bool
}

// desk is one voice of a tone.
type desk struct {
	phase, inc uint32  // of the cycle; inc a frame
	detune     float64 // semitones
	lfo        float64 // cycles of vibrato done
	lfoRate    float64 // factor of the tone's rate
}

// newTone starts a note of level and, which is its velocity's part in that, dB.
func newTone(in *instrument, pal *palette, c *controls, level, dB float64, players int, seed *noise) *tone {
	t := &tone{
		env:   newEnvelope(in.attack),
		pal:   pal,
		dB:    dB,
		rate:  in.vibrato,
		count: min(max(players, 1), maxDesks),
		gain:  c.gain(),
		fresh: true,
	}
	t.level = level / math.Sqrt(float64(t.count))
	for i := range t.desks[:t.count] {
		v := &t.desks[i]
		v.phase = uint32(seed.next() >> 32)
		v.lfoRate = 1
		if t.count > 1 {
			// Spread so that no section is out of tune, and not so evenly that it beats in time.
			even, odd := 2*float64(i)/float64(t.count-1)-1, 2*seed.unit()-1
			v.detune = spreadCents / 100.0 * (.7*even + .3*odd)
			v.lfo = seed.unit()
			v.lfoRate = 1 + spreadRate*(2*seed.unit()-1)
		}
	}
	return t
}

// lawDB is the level of a velocity or controller value under full.
//
// Source: General MIDI 2 and DLS, 40·log10(v/127), from memory; 0 is held at a tenth of a step.
func lawDB(v float64) float64 { return 40 * math.Log10(max(v, .1)/127) }

// darkestOnset is how much darker, in dB of level, an onset or an ending gets at
// most for its being soft.
const darkestOnset = -14

func (t *tone) add(out []float32, c *controls) bool {
	n := len(out)
	from, to := t.env.advance(n)
	spec := t.pal.spec
	level := t.dB + lawDB(c.expression.now) + max(20*math.Log10(to+1e-9), darkestOnset)
	place := layer(spec.brightness(level) + c.bright.now)
	if t.fresh {
		t.place = place
	}
	// A stretch stays between two neighbouring layers; what is left of a longer
	// way comes with the next one.
	low := int(t.place)
	if place < t.place && float64(low) == t.place {
		low--
	}
	low = min(max(low, 0), layers-2)
	place = min(max(place, float64(low)), float64(low+1))
	gain := c.gain()
	a := from * t.gain * t.level
	b := to * gain * t.level
	x, y := t.place-float64(low), place-float64(low)
	w := fade{
		dark:   float32(a * (1 - x)),
		light:  float32(a * x),
		dDark:  float32((b*(1-y) - a*(1-x)) / float64(n)),
		dLight: float32((b*y - a*x) / float64(n)),
	}
	dark, light := t.pal.table(low), t.pal.table(low+1)
	inc0 := t.pal.hz / SampleRate * math.Exp2(min(c.bend.now, t.pal.highest)/12) * (1 << 32)
	for i := range t.desks[:t.count] {
		v := &t.desks[i]
		inc := uint32(inc0 * t.stray(v, c, n))
		if t.fresh {
			v.inc = inc
		}
		slope := int32(inc-v.inc) / int32(n)
		v.phase = w.play(out, dark, light, v.phase, v.inc, uint32(slope))
		v.inc = inc
	}
	t.place, t.gain, t.fresh = place, gain, false
	return !t.env.done()
}

// stray is the factor by which a desk's frequency differs from the tone's, n
// frames on. A soloist's vibrato starts downward (Allen, Geringer and MacLeod 2009).
func (t *tone) stray(v *desk, c *controls, n int) float64 {
	pitch := v.detune
	if t.rate > 0 {
		v.lfo += max(t.rate+c.rate.now, 0) * v.lfoRate * float64(n) / SampleRate
		pitch -= c.depth.now / 200 * float64(sine[int(v.lfo*tableSize)&(tableSize-1)])
	}
	x := pitch * (math.Ln2 / 12)
	return 1 + x*(1+x/2*(1+x/3)) // exp(x) to 1e-7 for a semitone; it is asked very often
}

// fade is the weights of two tables and their change a frame.
type fade struct{ dark, light, dDark, dLight float32 }

// play adds one voice to out and gives the phase after it.
func (w fade) play(out []float32, dark, light *table, phase, inc, slope uint32) uint32 {
	const shift = 32 - tableBits
	inDark, inLight := w.dark, w.light
	for j := range out {
		i := phase >> shift
		frac := float32(phase&(1<<shift-1)) * (1.0 / (1 << shift))
		d, l := dark[i], light[i]
		d += frac * (dark[i+1] - d)
		l += frac * (light[i+1] - l)
		out[j] += inDark*d + inLight*l
		inDark += w.dDark
		inLight += w.dLight
		phase += inc
		inc += slope
	}
	return phase
}

func (t *tone) release(ms float64) { t.env.end(ms) }
