package acoustics

import "math"

// Source is what one part sounds at a moment.
type Source struct {
	Instrument *Instrument // nil: the part is silent
	Players    int         // 0: as many as the instrument usually has
	DynamicDB  float64     // written dynamic in dB re mf
	PitchHz    float64     // 0: a usual note of the instrument
	AlsoHz     []float64   // further notes of a chord, each as strong as the first; borrowed
	Seat       Position    // in a hall; see [Seating.Seat]
	FaderDB    float64     // in a studio; 0 brings the part's own mf to StudioDB
}

// players is how many play.
func (s *Source) players() int {
	if s.Players > 0 {
		return s.Players
	}
	return s.Instrument.Players
}

// pitch is the note, or a usual one.
func (s *Source) pitch() Pitch {
	if s.PitchHz > 0 {
		return PitchOf(s.PitchHz)
	}
	return s.Instrument.Middle
}

// Place is where the music sounds: a hall with a listener in it, or a studio.
type Place struct {
	Room     Room     // a Volume of 0 means a studio
	Field    Field    // how the hall's reverberant sound spreads
	Listener Position // in the hall
}

// Hall is a place in a room with Barron's field.
func Hall(r Room, listener Position) Place {
	return Place{Room: r, Field: Receding, Listener: listener}
}

// Studio is where sections are recorded apart: each radiates the same power as on
// stage, its term of the ensemble included, no room adds to it, and it stands where
// its fader puts it.
func Studio() Place { return Place{} }

// StudioDB is the strength to which a fader at 0 dB brings a part's own mf on a
// usual note, however many play it, in dB weighted as the ear weighs (see
// [WeightDB]). Ours: a usual level of listening.
const StudioDB = 70

// Scene hears sources in a place. It keeps the spectra of the instruments that it
// has met: the first meeting takes about a millisecond and 70 kB, and after it
// nothing is allocated. Who must not wait asks for each instrument's target once
// beforehand. A Scene is not safe for concurrent use.
type Scene struct {
	place     Place
	spectra   map[*Colour]*spectrum
	setups    map[*Instrument]*setup
	reverb    Bands   // gain from power to reverberant sound, where the source is
	recede    Bands   // by which that gain's logarithm falls with distance, 1/m
	parts     []part  // of Hear, by source
	lines     []part  // of Lines
	alone     part    // of TargetDB
	reference float64 // strength against which targets are told, dB
}

// setup is an instrument in a scene.
type setup struct {
	*spectrum
	front Bands   // directivity factor
	fader float64 // in a studio: gain of a fader at 0 dB
}

// part is a source as it arrives.
type part struct {
	in   *Instrument // nil: silent
	set  *setup
	seat Position
	gain Bands // from power to what is heard, of that instrument on that seat

	power    Bands // at the listener, re 0 dB
	masks    Bands // what it masks
	others   Bands // what all others and the threshold in quiet mask
	level    float64
	strength float64
}

// NewScene is a scene in a place. It expects a hall with a volume and a
// reverberation time over 0.
func NewScene(place Place) *Scene {
	s := &Scene{place: place, spectra: map[*Colour]*spectrum{}, setups: map[*Instrument]*setup{}}
	if place.hall() {
		for i, f := range bandHz {
			s.reverb[i] = place.Room.reverberant(Diffuse, 0, f)
			s.recede[i] = place.Field.recession(&place.Room, f)
		}
	}
	horn, _ := Lookup("horn")
	s.reference = s.StrengthDB(&Source{Instrument: horn, Players: 1, Seat: seatings[0].Seat(horn)})
	return s
}

// hall reports whether the place is one.
func (p *Place) hall() bool { return p.Room.Volume > 0 }

// StrengthDB is the level of a source at the listener when nothing else sounds, in
// dB weighted as the ear weighs (see [WeightDB]); -Inf if it is silent.
func (s *Scene) StrengthDB(src *Source) float64 {
	s.arrive(&s.alone, src)
	return db10(s.alone.strength)
}

// OverStrengthDB is by how much a source is stronger as [Scene.WeighedDB] has it than as the ear does.
func (s *Scene) OverStrengthDB(src *Source, weight *Bands) float64 {
	return s.WeighedDB(src, weight) - s.StrengthDB(src)
}

// WeighedDB is the level of a source at the listener when nothing else sounds, in dB with the bands
// weighed by power, or unweighted for nil; -Inf if it is silent.
func (s *Scene) WeighedDB(src *Source, weight *Bands) float64 {
	s.arrive(&s.alone, src)
	if weight == nil {
		return db10(s.alone.level)
	}
	sum := 0.0
	for i, power := range s.alone.power {
		sum += power * weight[i]
	}
	return db10(sum)
}

// TargetDB is the strength at which a source should stand, in dB re that of one
// horn at mf on its usual seat in the same place. What plays it must make all
// instruments equally strong at 0 dB. Without a PitchHz the register plays no part.
// In a studio the target is what the part's own dynamic and fader make of it, whatever
// the others do.
func (s *Scene) TargetDB(src *Source) float64 { return s.StrengthDB(src) - s.reference }

// meet is the setup of an instrument, made at the first meeting.
func (s *Scene) meet(in *Instrument) *setup {
	if known, ok := s.setups[in]; ok {
		return known
	}
	sp, ok := s.spectra[in.Colour]
	if !ok {
		sp = newSpectrum(in.Colour)
		s.spectra[in.Colour] = sp
	}
	set := &setup{spectrum: sp}
	for i, f := range bandHz {
		set.front[i] = pow10(in.Front.dB(f))
	}
	usual := part{in: in, set: set, gain: earWeight}
	usual.sound(MF, in.Middle, 1)
	set.fader = pow10(StudioDB) / usual.power.sum()
	s.setups[in] = set
	return set
}

// sum adds up the bands.
func (b *Bands) sum() (sum float64) {
	for _, p := range b {
		sum += p
	}
	return sum
}

// sit gives a part its instrument and seat. Few parts move, so what follows from
// them is kept.
func (s *Scene) sit(p *part, src *Source) {
	if p.in == src.Instrument && p.seat == src.Seat {
		return
	}
	p.in, p.seat = src.Instrument, src.Seat
	if p.in == nil {
		return
	}
	p.set = s.meet(p.in)
	if !s.place.hall() {
		for i := range p.gain {
			p.gain[i] = p.set.fader
		}
		return
	}
	r := p.seat.Distance(s.place.Listener)
	near := direct(r)
	for i := range p.gain {
		p.gain[i] = p.set.front[i]*near + s.reverb[i]*math.Exp(-s.recede[i]*r)
	}
}

// arrive brings a source to the listener.
func (s *Scene) arrive(p *part, src *Source) {
	s.sit(p, src)
	p.power, p.level, p.strength = Bands{}, 0, 0
	if p.in == nil {
		return
	}
	factor := float64(src.players())
	if !s.place.hall() {
		factor = pow10(src.FaderDB) // the fader has taken the number of players in
	}
	p.sound(src.DynamicDB, src.pitch(), factor)
	for _, hz := range src.AlsoHz {
		p.sound(src.DynamicDB, PitchOf(hz), factor)
	}
	for i, power := range p.power {
		p.level += power
		p.strength += power * earWeight[i]
	}
}

// sound adds one note, factor times as strong as one player's.
func (p *part) sound(dynamicDB float64, pitch Pitch, factor float64) {
	one := p.in.PowerDB(dynamicDB, pitch) + p.in.Ensemble.At(dynamicDB)
	louder := one - p.in.Power.At(MF) - p.in.Ensemble.At(MF)
	p.set.add(&p.power, pitch, louder, factor*pow10(one), &p.gain)
}
