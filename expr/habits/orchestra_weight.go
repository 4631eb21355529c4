package habits

import (
	"math"

	"swellbox/expr"
	"swellbox/expr/acoustics"
)

// OrchestraWeight is the weight of an instrument against the others in a hall: the level at
// which it stands there among all others, by the acoustic model of package acoustics.
// Families are about equal in piano, and in forte the brass rise over the woodwind;
// what is weak in its register stays weak; more players add as incoherent powers.
//
// An instrument that the model does not know has the share that its profile gives
// it: none in piano, growing with the written dynamic to the share in forte.
//
// The weight belongs to a hall; in a studio parts are independent.
//
// The hall's balance is that of the ear. Of a sampler that nobody has measured only this is assumed, that
// its presets are about equally loud on a meter, as their makers bring them to: what is low or dark is
// weaker to the ear than a meter has it, so that an aim for the ear would pull double basses, kettles and
// horns down to be as weak as their presets are already. Such a sampler is therefore led to the
// unweighted levels of the hall. On two General MIDI banks and three scores that is nearer to the model
// than raw playback is, in 6 of 6; the aim for the ear was, in 3.
//
// Sources: see package acoustics; the shares of the built-in profiles are
// N. Rimsky-Korsakov's, Principles of Orchestration, ch. I (public domain), his
// numbers of players read as sums of equal powers, 10·log10 N.
type OrchestraWeight struct {
	scene     *acoustics.Scene
	seating   *acoustics.Seating
	standings map[sounding]*standings
	hornDB    float64 // the unweighted level of a horn, which all others are told against
}

// sounding is an instrument as its sampler has it: measured, and evened to the ear, or not.
type sounding struct {
	instrument *acoustics.Instrument
	measured   bool
}

// NewOrchestraWeight is the habit in a place, with the usual seating of an orchestra.
func NewOrchestraWeight(place acoustics.Place) *OrchestraWeight {
	r := &OrchestraWeight{
		scene: acoustics.NewScene(place), seating: &acoustics.Seatings()[0],
		standings: map[sounding]*standings{},
	}
	horn, _ := acoustics.Lookup("horn")
	r.hornDB = r.scene.WeighedDB(&acoustics.Source{Instrument: horn, Players: 1, Seat: r.seating.Seat(horn)}, nil)
	return r
}

// In is the habit in a place.
func (*OrchestraWeight) In(place acoustics.Place) expr.Habit { return NewOrchestraWeight(place) }

// UsualPlace is a large hall with the listener in the tenth row, the place in which the
// model is fitted to Rimsky-Korsakov's equalities.
func UsualPlace() acoustics.Place {
	room, _ := acoustics.LookupRoom("large")
	return acoustics.Hall(room, acoustics.Row(10))
}

// maxWeightGrowth is how far a share grows on above forte, as a multiple of its
// value there. Ours: Rimsky-Korsakov names piano and forte only.
const maxWeightGrowth = 1.5

var aboutOrchestraWeight = expr.About{
	Name: "orchestra weight", Key: "orchestra_weight",
	Sentence: "Each instrument has its own weight in the hall: brass over woodwind in forte, about equal in piano.",
	Changed:  "the weight",
	Listen:   "the orchestra's own balance: brass over woodwind in the loud bars 19 to 24, about equal in the soft ones",
	Needs: expr.Grades{
		None:      "all of it",
		Lookahead: "all of it",
		Score:     "all of it",
	},
	Source: "package acoustics; Rimsky-Korsakov, Principles of Orchestration",
	Own:    true,
	Settings: []expr.Setting{
		{Key: "registers", About: "how far also in weak and strong registers: 0 not, 1 as the acoustic model has them", Changed: "amount of the weight in weak and strong registers", Most: expr.MostAmount,
			At: func(p *expr.Profile) *float64 { return &p.Weight.Registers }},
		{Key: "extra_db", About: "further weight where all of it holds, of what the acoustic model does not know", Changed: "weight in forte", Unit: "dB", Least: -12, Most: 12,
			At: func(p *expr.Profile) *float64 { return &p.Weight.ShareDB }},
		{Key: "starts_at_db", About: "written level where the weight begins", Changed: "level where the weight begins", Unit: "dB against mf", Least: -60, Most: 30,
			At: func(p *expr.Profile) *float64 { return &p.Weight.FromDB }},
		{Key: "full_at_db", About: "written level where all of it holds", Changed: "level where all the weight holds", Unit: "dB against mf", Least: -60, Most: 30,
			At: func(p *expr.Profile) *float64 { return &p.Weight.ToDB }},
	},
}

// About says what the habit is.
func (*OrchestraWeight) About() *expr.About { return &aboutOrchestraWeight }

// Prepare has the model meet an instrument, which takes it a millisecond.
func (r *OrchestraWeight) Prepare(p *expr.Profile) {
	if p.Instrument != nil {
		r.of(p).at(r, usualKey, 0)
	}
}

// Shape adds what the hall makes of the level.
func (r *OrchestraWeight) Shape(n *expr.Note, g *expr.Gesture) bool {
	w := &n.Profile.Weight
	if n.Amount == 0 {
		return false
	}
	db := share(w, n.WrittenDB)
	if n.Profile.Instrument != nil {
		db = r.standing(n) - n.WrittenDB
	} else if n.Players > 0 && n.Profile.Players > 0 {
		db += 10 * math.Log10(float64(n.Players)/float64(n.Profile.Players))
	}
	g.HallDB += n.Amount * db
	return db != 0
}

// standing is the level at which the note stands in the hall, dB re a horn's mf.
func (r *OrchestraWeight) standing(n *expr.Note) float64 {
	s := r.of(n.Profile)
	db := s.at(r, usualKey, n.WrittenDB)
	k := n.Profile.Weight.Registers
	if m := n.Profile.Sampler.Measured; m != nil && m.Even {
		k = 1 // the sampler's own registers are evened out, so that the instrument's can be
	}
	if k != 0 {
		db += k * (s.at(r, int(n.Key), n.WrittenDB) - db)
	}
	return db + acoustics.PlayersDB(n.Players)
}

func (r *OrchestraWeight) of(p *expr.Profile) *standings {
	sounds := sounding{p.Instrument, p.Sampler.Measured != nil}
	s := r.standings[sounds]
	if s == nil {
		s = &standings{sounding: sounds}
		r.standings[sounds] = s
	}
	return s
}

// standings are the levels at which one player of an instrument stands, by key and by
// written dynamic. The model is asked once for each, as it takes some time.
type standings struct {
	sounding
	known [129]bool
	db    [129][writtenSteps]float32
}

const (
	usualKey     = 128 // in place of a key: a usual note of the instrument
	softestDB    = -30 // the softest written dynamic that is told apart
	writtenSteps = 45  // from there in steps of 1 dB
)

// at is the level at a key and a written dynamic, between the steps by a straight line.
func (s *standings) at(r *OrchestraWeight, key int, writtenDB float64) float64 {
	if !s.known[key] {
		s.ask(r, key)
	}
	x := min(max(writtenDB-softestDB, 0), writtenSteps-1)
	i := min(int(x), writtenSteps-2)
	lo, hi := float64(s.db[key][i]), float64(s.db[key][i+1])
	return lo + (x-float64(i))*(hi-lo)
}

func (s *standings) ask(r *OrchestraWeight, key int) {
	src := acoustics.Source{Instrument: s.instrument, Players: 1, Seat: r.seating.Seat(s.instrument)}
	if key != usualKey {
		src.PitchHz = acoustics.KeyPitch(float64(key)).Hz()
	}
	for i := range s.db[key] {
		src.DynamicDB = float64(softestDB + i)
		if s.measured {
			s.db[key][i] = float32(r.scene.TargetDB(&src))
		} else {
			s.db[key][i] = float32(r.scene.WeighedDB(&src, nil) - r.hornDB)
		}
	}
	s.known[key] = true
}

// share is the weight of an instrument that the model does not know.
func share(w *expr.Weight, writtenDB float64) float64 {
	if w.ShareDB == 0 || w.ToDB <= w.FromDB {
		return 0
	}
	grown := (writtenDB - w.FromDB) / (w.ToDB - w.FromDB)
	return w.ShareDB * min(max(grown, 0), maxWeightGrowth)
}
