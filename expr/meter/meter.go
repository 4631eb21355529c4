package meter

import (
	"swellbox/expr"
	"swellbox/expr/channels"
)

// Meter reads one performance as its sampler would sound it: it takes the
// events that reach the sampler and tells the level and the vibrato depth of each
// channel, by what the profile says of the sampler's response. It is how raw and
// shaped are compared in dB and cents, from the messages alone.
type Meter struct {
	channels []metered
}

type metered struct {
	channels.State
	profile  *expr.Profile
	velocity [128]uint8 // of sounding notes, by key
	sounding int
}

// volumeLaw is how channel volume and expression answer, where they are not the level controller.
var volumeLaw = expr.StandardLaw()

// New makes a meter for a number of ports of 16 channels.
func New(ports int) *Meter {
	m := &Meter{channels: make([]metered, ports*16)}
	for i := range m.channels {
		m.channels[i].Clear(channels.Back)
	}
	return m
}

// Seat tells the meter which sampler sounds a channel.
func (m *Meter) Seat(port, channel int, p *expr.Profile) { m.channels[port*16+channel].profile = p }

// Take reads one event of the performance. Its time does not matter.
func (m *Meter) Take(e *expr.Event) {
	if !e.IsChannel() || int(e.Port)*16 >= len(m.channels) {
		return
	}
	c := &m.channels[int(e.Port)*16+e.Channel()]
	switch {
	case e.IsNoteOn():
		if c.velocity[e.Msg[1]] == 0 {
			c.sounding++
		}
		c.velocity[e.Msg[1]] = e.Msg[2]
	case e.IsNoteOff():
		if c.velocity[e.Msg[1]] != 0 {
			c.sounding--
		}
		c.velocity[e.Msg[1]] = 0
	default:
		c.State.Take(e)
	}
}

// Silence has all notes of a port be over, however they ended.
func (m *Meter) Silence(port int) {
	for i := port * 16; i < port*16+16; i++ {
		m.channels[i].velocity, m.channels[i].sounding = [128]uint8{}, 0
	}
}

// Keys are the keys of a channel that sound, a bit each, and the velocity of the loudest;
// 0 when none does.
func (m *Meter) Keys(port, channel int) (keys [2]uint64, loudest uint8) {
	c := &m.channels[port*16+channel]
	if c.sounding == 0 {
		return keys, 0
	}
	for key, v := range c.velocity {
		if v != 0 {
			keys[key/64] |= 1 << (key % 64)
			loudest = max(loudest, v)
		}
	}
	return keys, loudest
}

// Pedal is how far down a channel's damper pedal is, 0 to 1.
func (m *Meter) Pedal(port, channel int) float64 {
	return float64(max(m.channels[port*16+channel].Said(damper), 0)) / 127
}

// damper is the controller of the damper pedal (MIDI 1.0).
const damper = 64

// value is a controller's position between 0 and 127, its finer half included.
func (c *metered) value(ctl *expr.Control) (v float64, said bool) {
	fine, said := c.Fine(ctl.Number)
	if ctl.Fine {
		return float64(fine) / expr.BendMax * 127, said
	}
	return float64(fine >> 7), said
}

// Level is the level of the loudest sounding note of a channel, dB re full of its
// sampler, and false when nothing sounds. A controller that nobody has moved
// counts as full; channel volume, where it is not the level controller, is read
// by the standard law, and for a sampler that was measured against where it rests, as it was
// measured there.
func (m *Meter) Level(port, channel int) (db float64, ok bool) {
	c := &m.channels[port*16+channel]
	if c.sounding == 0 || c.profile == nil {
		return 0, false
	}
	loudest := uint8(0)
	for _, v := range c.velocity {
		loudest = max(loudest, v)
	}
	return c.level(loudest), true
}

// KeyLevel is the level of one sounding key of a channel, as Level is of the loudest.
func (m *Meter) KeyLevel(port, channel int, key uint8) (db float64, ok bool) {
	c := &m.channels[port*16+channel]
	if c.velocity[key] == 0 || c.profile == nil {
		return 0, false
	}
	return c.level(c.velocity[key]), true
}

// level is the level of a note of a velocity, as the controllers stand.
func (c *metered) level(velocity uint8) (db float64) {
	sampler := &c.profile.Sampler
	if sampler.Velocity != nil {
		db = sampler.Velocity.At(float64(velocity))
	}
	if sampler.Level.Has() {
		if v, said := c.value(&sampler.Level); said {
			db += sampler.Level.Response.At(v)
		}
	}
	for _, n := range [...]int{expr.CCVolume, 11} {
		if v := c.Said(n); n != sampler.Level.Number && v != expr.Unknown {
			db += volumeLaw.At(float64(v))
			if n == expr.CCVolume && sampler.Measured != nil {
				db -= volumeLaw.At(float64(expr.Rest(n)))
			}
		}
	}
	return db
}

// Vibrato is the depth of a channel's vibrato in cents, peak to peak, as its
// depth controller says, and 0 for a sampler that has none.
func (m *Meter) Vibrato(port, channel int) float64 {
	c := &m.channels[port*16+channel]
	if c.profile == nil || !c.profile.Sampler.VibratoDepth.Has() {
		return 0
	}
	ctl := &c.profile.Sampler.VibratoDepth
	v, said := c.value(ctl)
	if !said {
		return 0
	}
	return ctl.Response.At(v)
}

// Bend is how far a channel is bent, in cents.
func (m *Meter) Bend(port, channel int) float64 {
	c := &m.channels[port*16+channel]
	semitones, _ := c.Semitones()
	return float64(c.State.Bend()-expr.BendCentre) / expr.BendCentre * semitones * 100
}
