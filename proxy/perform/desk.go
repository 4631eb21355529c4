package perform

import (
	"math"
	"time"

	"swellbox/expr"
	"swellbox/expr/channels"
)

// desk chooses for each channel which performance reaches the port, and keeps
// account of what it let out: every note-on has its note-off, on whichever side
// it began, and a switch brings the controllers to the chosen side's present state.
//
// It has no clock: take and advance are told the time, and never go back in it.
type desk struct {
	matchDB float64   // by which the raw side is lowered
	match   *matching // how loud both sides are; nil where they are not matched
	gauges  *gauges   // what sounds on both sides; nil where nobody looks
	colours colours
	strips  []strip
	emit    func(*expr.Event)
	own     expr.Event    // what is said in place of an event, which is only to be read
	notes   uint64        // note-ons let out
	ramps   int           // strips that are ramping
	step    time.Duration // of the next step of all ramps
}

// strip is one channel of the desk.
type strip struct {
	side   expr.Side         // what reaches the port
	held   [2][128]uint16    // by side: note-ons let out and not ended
	kept   [2][128]uint16    // by side: note-ons not let out, and not ended
	begun  [128]begun        // by key: notes that have begun on one side alone
	struck [2][128]uint8     // by side: velocity of a key's latest note
	said   [2]channels.State // by side: where its controllers stand
	out    channels.State    // what the port has been told
	source uint16            // of its latest note
	level  int               // the profile's level controller; Unknown if it has none
	volume int               // of the raw side as it came in, before it was matched
	ramp   bool              // levels are on their way to said[side]
}

func newDesk(ports int, emit func(*expr.Event)) *desk {
	d := &desk{strips: make([]strip, ports*16), emit: emit}
	for i := range d.strips {
		s := &d.strips[i]
		s.side, s.level, s.volume = expr.Shaped, expr.Unknown, expr.Unknown
		for _, state := range [...]*channels.State{&s.said[0], &s.said[1], &s.out} {
			state.Clear(expr.Rest)
		}
	}
	return d
}

// matchLevels lowers the raw side, so that louder does not pass for better in a
// comparison: by so many dB, until enough has been played to hear by how much it is louder. It is
// done by channel volume; it begins before anything is played. Nothing is ever raised.
func (d *desk) matchLevels(db float64) {
	d.match = newMatching(len(d.strips)/16, &d.colours)
	d.lower(db, 0)
}

// mostMatchDB is the most by which the raw side is lowered, and matchDBPerStep how fast that
// changes in a tenth of a second: slower than a crescendo that is meant. Ours.
const (
	mostMatchDB    = 24
	matchDBPerStep = 0.1
)

// lower has the raw side stand under what came in.
func (d *desk) lower(db float64, now time.Duration) {
	d.matchDB = db
	for i := range d.strips {
		s := &d.strips[i]
		volume := d.matched(s.volume)
		s.said[0].Set(ccVolume, volume)
		if out := s.out.Said(ccVolume); s.side == expr.Raw && out != volume && out != expr.Unknown {
			d.rampAt(s, now)
		}
	}
}

// hear listens to both sides and follows by how much the raw one is louder.
func (d *desk) hear(e *expr.Event) {
	if !d.match.take(e) {
		return
	}
	if db, ok := d.match.louderDB(); ok {
		move := min(max(db, 0), mostMatchDB) - d.matchDB
		if math.Abs(move) > matchDBPerStep {
			d.lower(d.matchDB+min(max(move, -matchDBPerStep), matchDBPerStep), e.At)
		}
	}
}

// matched is the raw side's volume, lowered.
func (d *desk) matched(volume int) int {
	if volume == expr.Unknown {
		volume = expr.Rest(ccVolume)
	}
	return fromDecibels(decibels(volume) - d.matchDB)
}

// sideIndex is where a side's state stands in a strip.
func sideIndex(s expr.Side) int {
	if s == expr.Raw {
		return 0
	}
	return 1
}

// take passes an event of the engine on, if its side is chosen.
func (d *desk) take(e *expr.Event) {
	if d.match != nil {
		d.hear(e)
	}
	if d.gauges != nil {
		d.gauges.take(e)
	}
	if !e.IsChannel() {
		d.emit(e)
		return
	}
	i := int(e.Port)*16 + e.Channel()
	if i >= len(d.strips) {
		d.emit(e)
		return
	}
	s := &d.strips[i]
	switch {
	case e.IsNoteOn():
		d.noteOn(s, e)
	case e.IsNoteOff():
		d.noteOff(s, e)
	default:
		d.other(s, e)
	}
}

func (d *desk) other(s *strip, e *expr.Event) {
	for i, side := range [...]expr.Side{expr.Raw, expr.Shaped} {
		if e.Side&side != 0 {
			s.said[i].Take(e)
		}
	}
	if d.match != nil && e.Side&expr.Raw != 0 && e.Msg[0]&0xF0 == 0xB0 && e.Msg[1] == ccVolume {
		s.volume = int(e.Msg[2])
		s.said[0].Set(ccVolume, d.matched(s.volume))
		if s.side == expr.Raw {
			d.own = *e
			d.own.Msg[2] = byte(s.said[0].Said(ccVolume))
			e = &d.own
		}
	}
	if e.Side&s.side == 0 {
		return
	}
	if s.ramp && e.Msg[0]&0xF0 == 0xB0 && isLevel(int(e.Msg[1]), s.level) {
		return // the ramp is going there
	}
	s.out.Take(e)
	d.emit(e)
}

// choose switches channel i to a side at a time.
func (d *desk) choose(i int, side expr.Side, now time.Duration) {
	s := &d.strips[i]
	if s.side == side {
		return
	}
	s.side = side
	d.bring(i, now)
}

// bring moves the port to the chosen side's present state: everything but levels
// at once, levels by a ramp.
func (d *desk) bring(i int, now time.Duration) {
	s := &d.strips[i]
	want := &s.said[sideIndex(s.side)]
	level := false
	for n := range ccSoundOff {
		v := s.told(want, n)
		switch {
		case v == s.told(&s.out, n) || channels.IsParameter(n):
		case isLevel(n, s.level):
			level = true
		default:
			d.say(i, now, 0xB0, byte(n), byte(v))
		}
	}
	if program := want.Program(); program != expr.Unknown && program != s.out.Program() {
		d.say(i, now, 0xC0, byte(program), 0)
	}
	d.bringBend(i, now, want)
	if level {
		d.rampAt(s, now)
	}
}

// rampAt begins to bring a strip's levels to where the chosen side has them.
func (d *desk) rampAt(s *strip, now time.Duration) {
	if s.ramp {
		return
	}
	s.ramp = true
	d.ramps++
	if d.ramps == 1 {
		d.step = now
	}
}

func (d *desk) bringBend(i int, now time.Duration, want *channels.State) {
	s := &d.strips[i]
	semitones, cents, _ := want.BendRange()
	if has, and, _ := s.out.BendRange(); semitones != has || cents != and {
		want.SayBendRange(semitones, cents, func(status, d1, d2 byte) { d.say(i, now, status, d1, d2) })
	}
	if bend := want.Bend(); bend != s.out.Bend() {
		d.say(i, now, 0xE0, byte(bend&0x7F), byte(bend>>7))
	}
}

// say tells the port something of our own.
func (d *desk) say(i int, now time.Duration, status, d1, d2 byte) {
	e := expr.Event{At: now, Port: uint16(i / 16), Source: d.strips[i].source, Msg: [3]byte{status | byte(i%16), d1, d2}, Len: 3, Side: expr.Both}
	if status == 0xC0 || status == 0xD0 {
		e.Len = 2
	}
	d.strips[i].out.Take(&e)
	d.emit(&e)
}

// endNotes ends every note that is held on the channels of a port.
func (d *desk) endNotes(port int, now time.Duration) {
	if d.gauges != nil {
		d.gauges.silence(port)
	}
	for i := port * 16; i < port*16+16; i++ {
		for side := range d.strips[i].held {
			for key, n := range d.strips[i].held[side] {
				for range n {
					d.say(i, now, 0x80, byte(key), releaseVelocity)
				}
			}
			d.strips[i].held[side], d.strips[i].kept[side] = [128]uint16{}, [128]uint16{}
		}
		d.strips[i].begun = [128]begun{}
	}
}

// pedals are what holds or colours notes under the foot: damper, sostenuto, soft,
// legato, hold 2.
var pedals = [...]byte{ccDamper, 66, 67, 68, ccHold2}

// liftPedals lifts every pedal that is down, on both sides: a later switch must not
// press it again.
func (d *desk) liftPedals(port int, now time.Duration) {
	for i := port * 16; i < port*16+16; i++ {
		for _, n := range pedals {
			d.strips[i].forget(n)
			if d.strips[i].out.Said(int(n)) > 0 {
				d.say(i, now, 0xB0, n, 0)
			}
		}
	}
}

// forget has both sides leave a pedal up.
func (s *strip) forget(pedal byte) {
	for side := range s.said {
		if s.said[side].Said(int(pedal)) != expr.Unknown {
			s.said[side].Set(int(pedal), 0)
		}
	}
}

// panic silences a port by every means there is, whatever the account says.
func (d *desk) panic(port int, now time.Duration) {
	d.endNotes(port, now)
	for i := port * 16; i < port*16+16; i++ {
		for _, n := range pedals {
			d.strips[i].forget(n)
			d.say(i, now, 0xB0, n, 0)
		}
		d.say(i, now, 0xB0, ccNotesOff, 0)
		d.say(i, now, 0xB0, ccSoundOff, 0)
	}
}

// leave ends all notes and begins to give the port back as the raw side would
// have it; the ramps that are then under way are the caller's to finish.
func (d *desk) leave(port int, now time.Duration) {
	d.endNotes(port, now)
	d.liftPedals(port, now)
	for i := port * 16; i < port*16+16; i++ {
		s := &d.strips[i]
		if d.match != nil {
			s.said[0].Set(ccVolume, s.volume)
		}
		s.side = expr.Raw
		d.bring(i, now)
	}
}

// restore says all over again what a port had been told, for a sampler that
// has come back and remembers nothing.
func (d *desk) restore(port int, now time.Duration) {
	for i := port * 16; i < port*16+16; i++ {
		was := d.strips[i].out
		was.Each(func(status, d1, d2 byte) { d.say(i, now, status, d1, d2) })
	}
}

// sounding is how many notes are held on channel i.
func (d *desk) sounding(i int) int {
	n := 0
	for side := range d.strips[i].held {
		for _, k := range d.strips[i].held[side] {
			n += int(k)
		}
	}
	return n
}
