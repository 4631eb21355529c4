package audition

import (
	"math"

	"swellbox/expr"
)

// maxVoices is how many notes of a part may sound together; one more silences
// the oldest. Twice as many, with those that are on their way out, and a note is
// left out.
const maxVoices = 64

// sound is what one note sounds like.
type sound interface {
	// add adds the next len(out) frames, at most step, to out. The controls
	// are as they stand at the end of them. It reports whether there is more.
	add(out []float32, c *controls) bool
	// release lets the sound fall with a time constant of ms. It may be called
	// again; the shorter one counts.
	release(ms float64)
}

// voice is one sounding note.
type voice struct {
	sound
	key  uint8
	down bool // its note-off has not come
	held bool // the note-off has come and the pedal holds it
}

// message is a channel message at a frame.
type message struct {
	frame int
	msg   [3]byte
}

// player plays one part, front to back.
type player struct {
	in       *instrument
	part     Part
	level    float64 // amplitude of a note at full
	controls controls
	messages []message
	pos      int
	voices   []voice
	palettes map[palKey]*palette
	seed     noise
}

// palKey is what the tables of an instrument depend on.
type palKey struct {
	key  uint8
	span float64
}

func newPlayer(p Part, seed int) *player {
	in := find(p.Instrument, p.Family)
	return &player{
		in:       in,
		part:     p,
		level:    in.gain(),
		controls: newControls(),
		palettes: map[palKey]*palette{},
		seed:     newNoise(uint64(seed)),
	}
}

// frameOf is the frame nearest to an event.
func frameOf(e *expr.Event) int { return int(math.Round(e.At.Seconds() * SampleRate)) }

// play fills out with the part's next frames and reports whether there is
// anything to hear in them.
func (p *player) play(out []float32) bool {
	clear(out)
	heard := false
	for done := 0; done < len(out); {
		for len(p.messages) > 0 && p.messages[0].frame <= p.pos {
			p.take(p.messages[0].msg)
			p.messages = p.messages[1:]
		}
		n := len(out) - done
		if len(p.messages) > 0 {
			n = min(n, p.messages[0].frame-p.pos)
		}
		if len(p.voices) > 0 {
			n = min(n, step)
			p.stretch(out[done : done+n])
			heard = true
		}
		done += n
		p.pos += n
	}
	return heard
}

// stretch adds at most step frames of all voices.
func (p *player) stretch(out []float32) {
	p.controls.move(len(out))
	left := p.voices[:0]
	for _, v := range p.voices {
		if v.add(out, &p.controls) {
			left = append(left, v)
		}
	}
	clear(p.voices[len(left):])
	p.voices = left
}

// take obeys one channel message.
func (p *player) take(m [3]byte) {
	switch m[0] & 0xF0 {
	case 0x90:
		if m[2] > 0 {
			p.noteOn(m[1], m[2])
		} else {
			p.noteOff(m[1])
		}
	case 0x80:
		p.noteOff(m[1])
	case 0xB0:
		p.controls.take(m)
		p.mode(m[1])
	case 0xE0:
		p.controls.take(m)
	}
}

// mode obeys a mode message, and whatever has lifted the pedal.
func (p *player) mode(n uint8) {
	switch {
	case n == 120:
		for i := range p.voices {
			p.voices[i].release(chokeMs)
			p.voices[i].down, p.voices[i].held = false, false
		}
	case n >= 123: // 124 to 127 imply it (MIDI 1.0)
		for i := range p.voices {
			p.up(&p.voices[i])
		}
	}
	if !p.controls.pedal {
		for i := range p.voices {
			if v := &p.voices[i]; v.held {
				v.held = false
				p.release(v)
			}
		}
	}
}

func (p *player) noteOn(key, velocity uint8) {
	if !p.makeRoom() {
		return
	}
	in, c := p.in, &p.controls
	if len(p.voices) == 0 {
		c.settle() // nothing sounds that a step could be heard in
	}
	dB := lawDB(float64(velocity))
	level := p.level * math.Pow(10, dB/20)
	start := func(s sound) { p.voices = append(p.voices, voice{sound: s, key: key, down: true}) }
	limit, highest := reach(keyHz(float64(key)), c.span)
	switch {
	case in.kit != nil:
		s := in.kit(key)
		level *= s.gain()
		if len(s.tones) > 0 {
			start(newStrike(burstAttackMs, 0, s.tones, c, level)) // not to be bent up: reach knows only the key
		}
		if len(s.bands) > 0 {
			start(newBurst(s, c, level))
		}
	case in.modes != nil:
		bright := in.spec.brightness(dB+lawDB(c.expression.now)) + c.bright.now
		start(newStrike(in.attack, highest, in.partials(float64(key), bright, limit), c, level))
	default:
		start(newTone(in, p.palette(key), c, level, dB, p.part.Players, &p.seed))
	}
}

func (p *player) palette(key uint8) *palette {
	at := palKey{key, p.controls.span}
	if p.palettes[at] == nil {
		p.palettes[at] = newPalette(p.in.spec, keyHz(float64(key)), at.span)
	}
	return p.palettes[at]
}

// makeRoom silences the oldest note when there are too many, and reports
// whether there is place for one more.
func (p *player) makeRoom() bool {
	if n := len(p.voices) - maxVoices; n >= 0 {
		p.voices[n].release(chokeMs)
	}
	return len(p.voices) < 2*maxVoices
}

// noteOff ends the note of the key that has sounded longest, so that as many
// note-offs as note-ons end them all.
func (p *player) noteOff(key uint8) {
	for i := range p.voices {
		if v := &p.voices[i]; v.down && v.key == key {
			p.up(v)
			return
		}
	}
}

// up is the key's way up: the note ends, or the pedal holds it.
func (p *player) up(v *voice) {
	if !v.down {
		return
	}
	v.down = false
	if p.controls.pedal {
		v.held = true
		return
	}
	p.release(v)
}

// release ends a sound as its instrument does. Unpitched percussion rings on.
func (p *player) release(v *voice) {
	if p.in.kit == nil {
		v.release(p.in.release)
	}
}
