package audition

import "math"

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

	value   [128]uint8 // as received; coarse and fine halves apart
	bendRaw int        // 0..16383
	span    float64    // semitones each way
	rpn     int        // number of the selected parameter, noRPN when none
	pedal   bool
}

const noRPN = 0x3FFF

func newControls() controls {
	c := controls{bendRaw: 8192, span: 2, rpn: noRPN}
	c.value[7] = 100 // General MIDI 1: volume at power-up, from memory
	c.value[11] = 127
	for _, n := range []int{74, 76, 77} {
		c.value[n] = 64
	}
	c.aim()
	c.settle()
	return c
}

// fine is the value of a coarse controller with its fine half, 0..127 and a
// fraction. A coarse value of 127 is full with or without its fine half.
func (c *controls) fine(n int) float64 {
	return min(float64(c.value[n])+float64(c.value[n+32])/128, 127)
}

// aim sets what each control moves to from what was received.
func (c *controls) aim() {
	c.volume.to, c.expression.to = c.fine(7), c.fine(11)
	c.bright.to = brightDB * either(c.value[74])
	c.depth.to = min(max(depthCents*(c.fine(1)/127+either(c.value[77])), 0), depthCents)
	c.rate.to = ratePerValue * (float64(c.value[76]) - 64)
	c.bend.to = c.span * float64(c.bendRaw-8192) / 8192
}

// either is -1..1 for a controller that is neutral at 64.
func either(v uint8) float64 {
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

// controller takes a controller from 0 to 119; a channel mode message is
// another's business.
func (c *controls) controller(n, v uint8) {
	if n < 32 {
		c.value[n+32] = 0 // the coarse half clears the fine one (MIDI 1.0)
	}
	c.value[n] = v
	switch n {
	case 64:
		c.pedal = v >= 64
	case 98, 99:
		c.rpn = noRPN
	case 100, 101:
		c.rpn = int(c.value[101])<<7 | int(c.value[100])
	case 6, 38:
		if c.rpn == 0 {
			c.span = min(float64(c.value[6])+float64(c.value[38])/100, maxBend)
		}
	}
	c.aim()
}

// reset is controller 121 as RP-015 has it: volume, pan, the sound controllers
// and the value of RPN 0 stay.
func (c *controls) reset() {
	c.value[1], c.value[33] = 0, 0
	c.value[11], c.value[43] = 127, 0
	c.pedal = false
	c.bendRaw = 8192
	c.rpn = noRPN
	c.aim()
}
