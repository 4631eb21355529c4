package quiz

import (
	"context"
	"math"
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/expr/habits"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/audition"
)

// Side is how one take is played. Its zero value keeps to the marks, the weights, the swells
// and the vibrato of the shaped performance: so the takes of a question differ in what it is
// about, and no phrase or accent hides it.
type Side struct {
	// Musical has the players phrase, accent and articulate too, as who know the piece.
	Musical bool
	// Play changes how a part is played: the profile is a copy. It is called for
	// each way of playing that the part has. Nil changes nothing.
	Play func(part int, p *expr.Profile)
	// Place is how the parts stand to each other, before the faders.
	Place expr.Place
	// FaderDB is how far a part is raised over the others, in dB. Nil raises none.
	FaderDB func(part int) float64
}

// The engine's room for swells and weights, dB: what is played raw lies as far down as
// what is shaped. A fortissimo with the widest swell or weight of the quiz just fits
// under full. Ours.
const (
	headroomDB = 10
	ceilingDB  = 6
)

// perform plays the parts that are heard, and ends all notes with the passage. The
// first event is at 0.
func (s *Score) perform(p Passage, side Side, heard []int) ([]expr.Event, error) {
	var out []expr.Event
	cfg := engine.Config{Habits: habits.Usual(), Ports: s.ports, Sides: expr.Shaped, Place: side.Place, HeadroomDB: headroomDB, CeilingDB: ceilingDB}
	played := perform.NewPerformance(cfg, func(e *expr.Event) { out = append(out, *e) })
	if side.Musical {
		played.Engine().Load(s.piece)
	}
	seats := map[[2]int]*expr.Profile{}
	for _, i := range heard {
		part := &s.parts[i]
		profile := side.profile(i, part.Instrument)
		if err := played.Seat(part.Port, part.Channel, profile, part.Players); err != nil {
			return nil, err
		}
		seats[[2]int{part.Port, part.Channel}] = profile
	}
	sounding := map[[3]int]int{} // port, channel and key to notes that began in the passage
	for i := range s.events {
		e := s.events[i]
		if e.At >= p.To {
			break
		}
		profile := seats[[2]int{int(e.Port), e.Channel()}]
		if !e.IsChannel() || profile == nil {
			continue
		}
		at := [3]int{int(e.Port), e.Channel(), int(e.Msg[1])}
		switch {
		case e.IsNoteOn() && e.At < p.From, e.IsNoteOff() && sounding[at] == 0:
			continue
		case e.IsNoteOn():
			sounding[at]++
			if raw(profile) {
				e.Msg[2] = lowered(e.Msg[2])
			}
		case e.IsNoteOff():
			sounding[at]--
		}
		e.At = max(e.At-p.From, 0)
		played.Push(e)
		played.Pull(e.At)
	}
	played.Pull(p.To - p.From)
	played.EndNotes()
	return s.mix(out, side.FaderDB, heard), nil
}

// profile is a part's, as the side plays it.
func (side *Side) profile(part int, p *expr.Profile) *expr.Profile {
	whole := side.adjusted(part, p)
	whole.Variants = slices.Clone(p.Variants)
	for i := range whole.Variants {
		if v := &whole.Variants[i]; v.Profile == p {
			v.Profile = whole
		} else {
			v.Profile = side.adjusted(part, v.Profile)
		}
	}
	return whole
}

// adjusted is a copy that plays as the side does. Its controllers are told to 14 bits,
// as small differences need, and its velocity stays at full, under which the controller
// moves.
func (side *Side) adjusted(part int, p *expr.Profile) *expr.Profile {
	c := *p
	c.Sampler.Level.Fine, c.Sampler.VibratoDepth.Fine = true, true
	c.Sampler.FixedVelocity = 127
	if !side.Musical {
		quieten(&c)
	}
	if side.Play != nil {
		side.Play(part, &c)
	}
	return &c
}

// raw reports whether a profile shapes nothing.
func raw(p *expr.Profile) bool { return !p.Amounts.Any() }

// quieten leaves of the habits those that are sections of their own: the marks, the weight, the
// swell of a held note, the vibrato.
func quieten(p *expr.Profile) {
	for _, about := range habits.All() {
		if !about.Own {
			p.Amounts.Set(about.Key, 0)
		}
	}
	p.Bloom.LongNotes = 0
}

// lowered is a velocity so far down as the engine puts what it shapes, by 40·log10(v/127).
func lowered(velocity uint8) uint8 {
	return uint8(max(math.Round(float64(velocity)*math.Pow(10, -headroomDB/40.0)), 1))
}

// Channel volume, and where the synthesiser starts it.
const (
	volume      = 7
	volumeFine  = volume + 32
	fullyOpened = 127
	startVolume = 100
)

// mix sets the parts' channel volumes by faders. The volumes of the score itself are
// kept under them.
func (s *Score) mix(events []expr.Event, faderDB func(part int) float64, heard []int) []expr.Event {
	if faderDB == nil {
		return events
	}
	top := math.Inf(-1)
	for _, i := range heard {
		top = max(top, faderDB(i))
	}
	shares := map[[2]int]float64{} // of the volume, by port and channel
	var out []expr.Event
	for _, i := range heard {
		part := &s.parts[i]
		share := math.Pow(10, (faderDB(i)-top)/40)
		shares[[2]int{part.Port, part.Channel}] = share
		out = append(out, volumes(0, part.Port, part.Channel, startVolume*share)...)
	}
	for _, e := range events {
		if !e.IsChannel() || e.Msg[0]&0xF0 != 0xB0 {
			out = append(out, e)
			continue
		}
		switch e.Msg[1] {
		case volume:
			share := shares[[2]int{int(e.Port), e.Channel()}]
			out = append(out, volumes(e.At, int(e.Port), e.Channel(), float64(e.Msg[2])*share)...)
		case volumeFine: // under a hundredth of a dB from 10 up; left out
		default:
			out = append(out, e)
		}
	}
	return out
}

// volumes sets a channel's volume, 0 to 127, by both halves.
func volumes(at time.Duration, port, channel int, v float64) []expr.Event {
	fine := min(int(math.Round(v*128)), fullyOpened<<7)
	return []expr.Event{
		expr.Short(at, uint16(port), 0xB0|byte(channel), volume, byte(fine>>7)),
		expr.Short(at, uint16(port), 0xB0|byte(channel), volumeFine, byte(fine&0x7F)),
	}
}

// render is one take of a passage.
func (s *Score) render(ctx context.Context, p Passage, side Side, heard []int) (*audition.Take, error) {
	events, err := s.perform(p, side, heard)
	if err != nil {
		return nil, err
	}
	stage := make([]audition.Part, len(heard))
	for i, n := range heard {
		part := &s.parts[n]
		stage[i] = audition.Part{
			Port: part.Port, Channel: part.Channel, Instrument: part.Voice,
			Family: part.Instrument.Family, Players: part.Players, Pan: part.Pan,
		}
	}
	return audition.Render(ctx, stage, events, p.To-p.From+ring, nil)
}
