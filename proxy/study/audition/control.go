package audition

import (
	"math"

	"swellbox/expr"
	"swellbox/expr/channels"
)

// step is the longest stretch, in frames, over which a level or a pitch moves
// in a straight line (1.3 ms).
const step = 64

// Controls reach what they are set to with these time constants, so that no
// step of a controller is heard as a click (ours).
const glideMs = 5

const (
	depthCents   = 100      // of controllers 1 and 77 at full, peak to peak
	ratePerValue = 1.0 / 32 // Hz of controller 76
	brightDB     = 12       // of controller 74 at either end, at 3 kHz
	maxBend      = 24       // semitones; RPN 0 above it is held there
)

// glide is a value on its way to another.
type glide struct{ now, to float64 }

func (g *glide) move(share float64) { g.now += (g.to - g.now) * share }

// controls is what the controllers of one channel say, moving.
type controls struct {
	volume, expression glide // 0..127
	bright             glide // dB at 3 kHz, by controller 74
	bend               glide // semitones
	depth              glide // cents, peak to peak
	rate               glide // Hz, added to the instrument's

	said  channels.State // as received
	span  float64        // semitones each way
	pedal bool
}

func newControls() controls {
	var c controls
	c.said.Clear(expr.Rest)
	c.aim()
	c.settle()
	return c
}

// fine is the value of a coarse controller with its fine half, 0..127 and a
// fraction. A coarse value of 127 is full with or without its fine half.
func (c *controls) fine(n int) float64 {
	return min(float64(c.said.Told(n))+float64(c.said.Told(n+32))/128, 127)
}

// aim sets what each control moves to from what was received.
func (c *controls) aim() {
	c.volume.to, c.expression.to = c.fine(7), c.fine(11)
	c.bright.to = brightDB * either(c.said.Told(74))
	c.depth.to = min(max(depthCents*(c.fine(1)/127+either(c.said.Told(77))), 0), depthCents)
	c.rate.to = ratePerValue * (float64(c.said.Told(76)) - 64)
	semitones, _ := c.said.Semitones()
	c.span = min(semitones, maxBend)
	c.bend.to = c.span * float64(c.said.Bend()-expr.BendCentre) / expr.BendCentre
}

// either is -1..1 for a controller that is neutral at 64.
func either(v int) float64 {
	if v < 64 {
		return float64(v)/64 - 1
	}
	return float64(v-64) / 63
}

// settle ends all movement, for a channel that does not sound.
func (c *controls) settle() { c.moveBy(1) }

// move brings the controls n frames on, n at most step.
func (c *controls) move(n int) { c.moveBy(glideShare[n]) }

func (c *controls) moveBy(share float64) {
	for _, g := range []*glide{&c.volume, &c.expression, &c.bright, &c.bend, &c.depth, &c.rate} {
		g.move(share)
	}
}

var glideShare = func() (t [step + 1]float64) {
	for n := range t {
		t[n] = 1 - math.Exp(-float64(n)/(glideMs*SampleRate/1000))
	}
	return t
}()

// gain is the amplitude of volume and expression, 1 at full.
func (c *controls) gain() float64 {
	g := c.volume.now * c.expression.now / (127 * 127)
	return g * g
}

// take takes a channel message that is not a note; a mode message other than the reset is
// another's business.
func (c *controls) take(m [3]byte) {
	e := expr.Short(0, 0, m[:]...)
	c.said.Take(&e)
	c.pedal = c.said.Told(expr.CCDamper) >= 64
	c.aim()
}
