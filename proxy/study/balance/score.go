package balance

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/expr/acoustics"
	"swellbox/profiles/names"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// maxBars bounds a piece: a symphony has some 2,000 bars, and what seems to have ten
// times as many has a damaged time signature.
const maxBars = 20_000

// score is a piece as the model needs it.
type score struct {
	parts    []part
	bars     []time.Duration // the start of each bar, and the end of the last
	quarters []float64       // the same in quarter notes, of which a second has two in SMPTE time
	unit     string          // what a bar is: "bar", or "second" in SMPTE time
}

// part is one channel.
type part struct {
	name       string
	instrument string
	players    int
	by         string   // how their number was found
	doubts     []string // what was guessed of it on doubtful ground
	notes      []note   // in the order of their onsets
	swells     []swell  // in the order of their times
}

// note is one written note.
type note struct {
	on, off   time.Duration
	from, to  float64 // in quarter notes
	key       uint8
	dynamicDB float64 // as the velocity is read
	voice     *voice
}

// voice is what plays a note.
type voice struct {
	instrument *acoustics.Instrument
	players    int
	seat       acoustics.Position
	registers  float64 // how far a shaped performance follows the instrument's registers: 0 not, 1 as the model has them
}

// swell is what the controllers add from a moment on, dB.
type swell struct {
	at time.Duration
	db float64
}

// readScore reads a piece, and says which parts had to be left out.
func readScore(f *smf.File, cast *perform.Cast, seating *acoustics.Seating) (*score, []string, error) {
	if f.Format == 2 && len(f.Tracks) > 1 {
		return nil, nil, fmt.Errorf("it holds %d pieces that are independent of one another; export the one you mean as a file of its own", len(f.Tracks))
	}
	t, err := offline.NewTimeline(f, 0)
	if err != nil {
		return nil, nil, err
	}
	r := &reader{timeline: t, cast: cast, seating: seating, warnings: slices.Clone(f.Warnings), index: map[int]*channel{}}
	if err := r.seatAll(); err != nil {
		return nil, nil, err
	}
	t.MarkCalls(cast)
	for i := range t.Events {
		if e := &t.Events[i]; e.IsChannel() {
			r.quarter = t.Quarter(i)
			if err := r.take(e, t.Calls(i)); err != nil {
				return nil, nil, err
			}
		}
	}
	s, err := r.score()
	if err != nil {
		return nil, nil, err
	}
	return s, r.warnings, nil
}

// reader follows the channels of a timeline.
type reader struct {
	timeline *offline.Timeline
	quarter  float64 // where the event stands, in quarter notes
	cast     *perform.Cast
	seating  *acoustics.Seating
	channels []*channel       // in score order
	index    map[int]*channel // by port*16+channel
	warnings []string
}

// channel is a part while it is read.
type channel struct {
	part
	hint    names.Hint
	profile *expr.Profile
	now     int               // how many play it now
	voice   *voice            // nil if nothing is known of its sound
	voices  map[string]*voice // by profile
	open    [128]held
	passed  uint64 // notes out of its range

	volume, rest, expression uint8
}

// held is a key that is down.
type held struct {
	note  int // in the part's notes
	count int // how many ends are due; two voices may share a key
}

// atRest is controller 7 before a file sets it (General MIDI 1, from memory) and
// full is controller 11 before that.
const (
	atRest = 100
	full   = 127
)

func (r *reader) seatAll() error {
	for _, h := range r.timeline.Hints {
		c := &channel{hint: h, voices: map[string]*voice{}, volume: atRest, expression: full}
		if err := r.seat(c); err != nil {
			return err
		}
		r.channels = append(r.channels, c)
		r.index[(h.Port-1)*16+h.Channel-1] = c
	}
	return nil
}

// seat finds who plays a channel now.
func (r *reader) seat(c *channel) error {
	p, profile, err := r.cast.Choose(c.hint)
	if err != nil {
		return err
	}
	c.profile = profile
	c.now = p.Players
	if c.players == 0 { // not for what a program makes of it later
		c.players, c.by, c.doubts = p.Players, p.By, p.Doubts()
	}
	if c.name == "" {
		c.name = p.Name
	}
	c.voice = r.voiceOf(c, p.Profile)
	return nil
}

// voiceOf is the voice of a profile: of the first name in its chain that the model
// knows; nil with a warning if there is none.
func (r *reader) voiceOf(c *channel, profile string) *voice {
	if v, ok := c.voices[profile]; ok {
		return v
	}
	c.voices[profile] = nil
	in, ok := acoustics.Lookup(profile)
	if chain, err := r.cast.Library.Chain(profile); !ok && err == nil {
		for _, d := range chain {
			if in, ok = acoustics.Lookup(d.Name); ok {
				break
			}
		}
	}
	if !ok {
		r.warnings = append(r.warnings, fmt.Sprintf("%s is left out where it plays with the profile %q: the model does not know how that sounds; seat it with another", c.name, profile))
		return nil
	}
	v := &voice{instrument: in, players: c.now, seat: r.seating.Seat(in), registers: c.profile.Weight.Registers}
	if m := c.profile.Sampler.Measured; m != nil && m.Even {
		v.registers = 1 // see [habits.OrchestraWeight]
	}
	if c.instrument == "" {
		c.instrument = in.Name
	}
	c.voices[profile] = v
	return v
}

// take takes one message; call says that it starts a keyswitch.
func (r *reader) take(e *expr.Event, call bool) error {
	c := r.index[int(e.Port)*16+e.Channel()]
	if c == nil {
		return nil // a channel without a note
	}
	switch e.Msg[0] & 0xF0 {
	case 0xC0:
		return r.program(c, int(e.Msg[1]))
	case 0xB0:
		c.control(e)
	case 0x80, 0x90:
		if v := c.variant(func(v *expr.Variant) bool { return v.Keyswitch == int(e.Msg[1]) }); v != nil {
			if e.IsNoteOn() {
				r.vary(c, v)
			}
			return nil
		}
		switch {
		case call:
			c.passed++
		case e.IsNoteOn():
			c.begin(e, r.quarter)
		default:
			c.end(e, r.quarter)
		}
	}
	return nil
}

// program makes a channel another instrument, or calls a way of playing of its own.
func (r *reader) program(c *channel, program int) error {
	if v := c.variant(func(v *expr.Variant) bool { return v.Program == program }); v != nil {
		r.vary(c, v)
		return nil
	}
	c.hint.Program, c.hint.HasProgram = program+1, true
	return r.seat(c)
}

func (c *channel) variant(is func(*expr.Variant) bool) *expr.Variant {
	if i := slices.IndexFunc(c.profile.Variants, func(v expr.Variant) bool { return is(&v) }); i >= 0 {
		return &c.profile.Variants[i]
	}
	return nil
}

// vary changes the sound if the model has one for the way of playing, as it has for
// "pizzicato" of strings. Who plays, and where, stays.
func (r *reader) vary(c *channel, v *expr.Variant) {
	own := r.voiceOf(c, c.profile.Name)
	in, known := acoustics.Lookup(v.Name + "-" + c.profile.Family)
	if own == nil || !known {
		c.voice = own
		return
	}
	if c.voices[in.Name] == nil {
		c.voices[in.Name] = &voice{instrument: in, players: own.players, seat: own.seat}
	}
	c.voice = c.voices[in.Name]
}

// control takes the two controllers by which notation programs write swells.
func (c *channel) control(e *expr.Event) {
	switch e.Msg[1] {
	case 7:
		c.volume = e.Msg[2]
	case 11:
		c.expression = e.Msg[2]
	default:
		return
	}
	if c.rest == 0 {
		return // before the first note it is the mixer that is set
	}
	c.swell(e.At)
}

// swell notes what the controllers add: 40·log10(v/127) each (General MIDI 2),
// controller 7 re where it stood at the first note, which is the mixer's and not the
// composer's, controller 11 re full.
func (c *channel) swell(at time.Duration) {
	db := 40 * math.Log10(math.Max(float64(c.volume), 1)/float64(c.rest)*math.Max(float64(c.expression), 1)/full)
	if n := len(c.swells); n > 0 && c.swells[n-1].at == at {
		c.swells[n-1].db = db
		return
	}
	c.swells = append(c.swells, swell{at, db})
}

func (c *channel) begin(e *expr.Event, quarter float64) {
	if c.rest == 0 {
		c.rest = max(c.volume, 1)
		c.swell(e.At)
	}
	h := &c.open[e.Msg[1]]
	if h.count > 0 {
		c.notes[h.note].off, c.notes[h.note].to = e.At, quarter
	}
	h.note, h.count = len(c.notes), h.count+1
	c.notes = append(c.notes, note{
		on: e.At, off: e.At, from: quarter, to: quarter, key: e.Msg[1], voice: c.voice,
		dynamicDB: c.profile.Dynamics.Reading.At(float64(e.Msg[2])),
	})
}

func (c *channel) end(e *expr.Event, quarter float64) {
	h := &c.open[e.Msg[1]]
	if h.count == 0 {
		return
	}
	if h.count--; h.count == 0 {
		c.notes[h.note].off, c.notes[h.note].to = e.At, quarter
	}
}

// score ends what still sounds, leaves out what the model does not know, and
// measures the bars.
func (r *reader) score() (*score, error) {
	s := &score{}
	end, hanging, any := time.Duration(0), 0, false
	for _, c := range r.channels {
		for _, h := range c.open {
			if h.count > 0 {
				n := &c.notes[h.note]
				n.off, n.to = r.timeline.End, max(r.timeline.Quarters(), n.from)
				hanging++
			}
		}
		any = any || len(c.notes) > 0
		if said := perform.OutOfRange(c.name, c.profile.Name, uint64(len(c.notes)), c.passed, "are left out"); said != "" {
			r.warnings = append(r.warnings, said)
		}
		c.notes = slices.DeleteFunc(c.notes, func(n note) bool { return n.voice == nil })
		for _, n := range c.notes {
			end = max(end, n.off)
		}
		if len(c.notes) > 0 {
			s.parts = append(s.parts, c.part)
		}
	}
	if hanging > 0 {
		r.warnings = append(r.warnings, fmt.Sprintf("notes that have no end in the file, and are heard until it ends: %d", hanging))
	}
	switch {
	case !any:
		return nil, errors.New("there are no notes in it")
	case len(s.parts) == 0:
		return nil, errors.New("the model knows none of its instruments; name the tracks after the instruments, or seat them with --seating")
	}
	return s, s.measure(r.timeline, end)
}

// measure finds the bars up to the end of the music.
func (s *score) measure(t *offline.Timeline, end time.Duration) error {
	s.unit = "second"
	start := func(bar int) (time.Duration, float64) {
		return time.Duration(bar-1) * time.Second, float64(2 * (bar - 1))
	}
	if t.Bars != nil {
		s.unit = "bar"
		start = func(bar int) (time.Duration, float64) {
			tick := t.Bars.BarStart(bar)
			return t.Tempo.At(tick), t.QuarterOf(tick)
		}
	}
	for bar := 1; ; bar++ {
		at, quarter := start(bar)
		s.bars, s.quarters = append(s.bars, at), append(s.quarters, quarter)
		if at >= end && bar > 1 {
			return nil
		}
		if bar > maxBars {
			return fmt.Errorf("it has more than %d %ss, and no more can be analysed; its tempo or time signature is damaged, or export a part of it", maxBars, s.unit)
		}
	}
}

// lastBy is the last of some times, in order, that is at or before another; -1 if none is.
func lastBy[T cmp.Ordered](times []T, at T) int {
	i, found := slices.BinarySearch(times, at)
	if !found {
		i--
	}
	return i
}

// barCount is how many bars there are.
func (s *score) barCount() int { return len(s.bars) - 1 }

// swellAt is what the controllers add at a moment, dB.
func (p *part) swellAt(at time.Duration) float64 {
	i, found := slices.BinarySearchFunc(p.swells, at, func(c swell, at time.Duration) int { return cmp.Compare(c.at, at) })
	if !found {
		i--
	}
	if i < 0 {
		return 0
	}
	return p.swells[i].db
}
