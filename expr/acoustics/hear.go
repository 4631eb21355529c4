package acoustics

import "math"

// State says how a part is heard. The limits are ours.
type State uint8

const (
	// Silent sounds nothing, or nothing that the ear hears in quiet.
	Silent State = iota
	// Covered is under its masked threshold: AudibilityDB under 0.
	Covered
	// Blended is over it, by less than HeardDB: part of the sound, not a voice in it.
	Blended
	// Heard is HeardDB or more over it: a voice that the ear can follow.
	Heard
	// Dominant is heard, and at least as strong as all others together.
	Dominant
)

// HeardDB over its masked threshold a part is heard by itself. Ours: with the
// masking of noise, 5.5 dB, a part is there as strong in its best band as what all
// others excite together, and a little over.
const HeardDB = 6

// principalDB: what a part has in a band counts if it is no more than this under
// its strongest band, each weighted as the ear weighs. Ours: what is half as loud
// or more; a part is not heard because of a trace of its overtones that nobody
// else has.
const principalDB = 10

// String is the state in the words of the report.
func (s State) String() string {
	switch s {
	case Covered:
		return "covered"
	case Blended:
		return "blended"
	case Heard:
		return "heard"
	case Dominant:
		return "dominant"
	}
	return "silent"
}

// MarshalText is String, for reports.
func (s State) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// FloorDB is the level of silence in a Sound, so that no field is infinite.
const FloorDB = -120

// Sound is how one part of many is heard at the listener.
type Sound struct {
	LevelDB      float64 // dB re 20 µPa, unweighted
	StrengthDB   float64 // dB, weighted as the ear weighs
	AudibilityDB float64 // over the masked threshold, in the best of its principal bands
	BandHz       float64 // the middle of that band
	Masker       int     // the source that masks most there; -1 if none masks more than the threshold in quiet
	State        State
}

// Total is how all parts together are heard.
type Total struct {
	LevelDB float64 // dB re 20 µPa, unweighted
	LevelA  float64 // dB, A-weighted
	Sone    float64
	Phon    float64
}

// Hear tells how each source is heard in the presence of all others. out must be
// at least as long as sources. A part's audibility is by how many dB its
// level in a third-octave band is over what the excitation of all others masks
// there, together with the threshold in quiet, in that one of its principal bands
// where this is most. One more masker never makes it more.
func (s *Scene) Hear(sources []Source, out []Sound) Total {
	for len(s.parts) < len(sources) {
		s.parts = append(s.parts, part{})
	}
	parts := s.parts[:len(sources)]
	var all Bands
	strength := 0.0
	for i := range parts {
		p := &parts[i]
		s.arrive(p, &sources[i])
		p.masks = Bands{}
		if p.in != nil {
			mask(&p.power, &p.set.offset, &p.masks)
		}
		strength += p.strength
		for b, power := range p.power {
			all[b] += power
		}
	}
	shareOut(parts)
	var most maskers
	most.find(parts)
	for i := range parts {
		sound, band := parts[i].heard(strength)
		sound.Masker = most.of(i, band)
		out[i] = sound
	}
	return total(&all)
}

// shareOut gives each part what all others mask. Adding from both ends, and
// never taking a part away from the sum, keeps a weak part beside a strong one exact.
func shareOut(parts []part) {
	sum := quietPower
	for i := range parts {
		parts[i].others = sum
		sum.plus(&parts[i].masks)
	}
	sum = Bands{}
	for i := len(parts) - 1; i >= 0; i-- {
		parts[i].others.plus(&sum)
		sum.plus(&parts[i].masks)
	}
}

// plus adds band by band.
func (b *Bands) plus(c *Bands) {
	for i := range b {
		b[i] += c[i]
	}
}

// heard is how the part is heard when all together have the given strength, and the
// band in which it is heard best, -1 for none.
func (p *part) heard(strength float64) (h Sound, at int) {
	top := 0.0
	for i, power := range p.power {
		top = max(top, power*earWeight[i])
	}
	if top == 0 {
		return Sound{LevelDB: FloorDB, StrengthDB: FloorDB, AudibilityDB: FloorDB}, -1
	}
	least, best := top*principalShare, 0.0
	for i, power := range p.power {
		if power*earWeight[i] >= least && power > best*p.others[i] {
			best, at = power/p.others[i], i
		}
	}
	h = Sound{
		LevelDB:      max(db10(p.level), FloorDB),
		StrengthDB:   max(db10(p.strength), FloorDB),
		AudibilityDB: max(db10(best), FloorDB),
		BandHz:       bandHz[at],
	}
	switch {
	case !p.inQuiet():
		h.State = Silent
	case h.AudibilityDB < 0:
		h.State = Covered
	case h.AudibilityDB < HeardDB:
		h.State = Blended
	case p.strength < strength/2:
		h.State = Heard
	default:
		h.State = Dominant
	}
	return h, at
}

var principalShare = math.Pow(10, -principalDB/10.0)

// inQuiet reports whether the part would be heard if nothing else sounded.
func (p *part) inQuiet() bool {
	for i, power := range p.power {
		if power >= quietPower[i] {
			return true
		}
	}
	return false
}

// maskers are the two parts that mask most in each band; -1 where only the
// threshold in quiet does.
type maskers [NumBands]struct{ first, second int }

func (m *maskers) find(parts []part) {
	most, next := quietPower, quietPower
	for b := range m {
		m[b].first, m[b].second = -1, -1
	}
	for i := range parts {
		for b, masks := range parts[i].masks {
			switch {
			case masks > most[b]:
				next[b], m[b].second = most[b], m[b].first
				most[b], m[b].first = masks, i
			case masks > next[b]:
				next[b], m[b].second = masks, i
			}
		}
	}
}

// of is the part that masks part i most in a band; -1 is no band, and no part.
func (m *maskers) of(i, band int) int {
	switch {
	case band < 0:
		return -1
	case m[band].first == i:
		return m[band].second
	}
	return m[band].first
}

// total is how a sound of the given power in each band is heard.
func total(power *Bands) Total {
	level, a := 0.0, 0.0
	for i, p := range power {
		level += p
		a += p * aPower[i]
	}
	sone := Loudness(power)
	return Total{LevelDB: max(db10(level), FloorDB), LevelA: max(db10(a), FloorDB), Sone: sone, Phon: Phon(sone)}
}
