package engine

import (
	"math"

	"swellbox/expr"
)

const (
	// slewDBPerS bounds how fast the level moves when a loud note ends and leaves
	// softer ones sounding, so that it is a fall and not a click.
	slewDBPerS = 250

	// lowestDB is how far the level controller goes down; what lies deeper is left
	// to the velocity.
	lowestDB = -40

	// unheardDB is the most by which a sounding note may be moved for another's sake.
	//
	// Source: the just noticeable difference of level, about 1 dB at middle levels
	// (Slade et al. 2022 find 0.68 to 1.22 dB for piano tones).
	unheardDB = 1
)

// startDB is the level at which a note starts, dB re full.
func (s *sampler) startDB(g *expr.Gesture, ceilingDB float64) float64 {
	return min(s.mfDB+g.LevelAt(0)+weightDB(g, &s.standing), ceilingDB)
}

// weightDB is the weight of a note in the place where its part stands, on its seat there.
func weightDB(g *expr.Gesture, s *Standing) float64 {
	if s.Place == expr.Studio {
		return 0
	}
	return g.HallDB + s.SeatDB
}

// carry splits a note's level between its velocity, which it returns, and the
// level controller, which gets the rest.
//
// Alone, a note gets the split that its profile asks for. So does one that takes
// over from another under a slur, as that one is about to end: the line keeps its
// velocity and moves by its controller. Where it joins several voices, the controller
// stays where they need it, as far as the new note's velocity can make up the
// difference; a difference that nobody hears is given to the controller, so that it
// cannot drift from note to note.
func (s *sampler) carry(g *expr.Gesture, ceilingDB float64, key, velocity uint8, joins bool) (out uint8, carriedDB float64) {
	law, tone := s.profile.Sampler.Velocity, s.toneDB(key)
	if law == nil {
		return velocity, tone // the controller carries it all
	}
	target := s.startDB(g, ceilingDB)
	out = nearestVelocity(law, target-tone)
	if s.movesLevel() {
		control := s.alone(target, weightDB(g, &s.standing), tone)
		if joins && math.Abs(control-s.levelDB) > unheardDB {
			control = s.levelDB
		}
		out = nearestVelocity(law, target-control-tone)
	}
	return out, law.At(float64(out)) + tone
}

// toneDB is by how much a key was measured to be louder than others at the same numbers, dB, as far
// as the volume does not make up for that.
func (s *sampler) toneDB(key uint8) float64 {
	return s.measured.LevelDB + s.measured.KeyDB[key] + s.volume.db
}

// alone is what the level controller adds, dB, for a note at a level if nothing
// else sounds. Where the velocity carries the dynamics, the controller carries the
// part's weight among others: how far away it seems is no matter of its stroke. Where it carries
// their start, it chooses what is struck by what is written, and the controller makes up for what
// the sampler makes of that.
func (s *sampler) alone(target, weight, tone float64) float64 {
	law := s.profile.Sampler.Velocity
	control := weight - s.cfg.HeadroomDB - tone
	switch carrier := s.profile.Dynamics.Carrier; {
	case carrier == expr.CarryController:
		control = target - law.At(float64(s.fixedVel)) - tone
	case carrier == expr.CarryBoth && s.profile.Sampler.Measured != nil:
		written := nearestVelocity(standardLaw, target-weight+s.cfg.HeadroomDB)
		control = target - law.At(float64(written)) - tone
	}
	return min(max(control, lowestDB), 0)
}

func nearestVelocity(c *expr.Curve, db float64) uint8 {
	return uint8(min(max(math.Round(c.Invert(db)), 1), 127))
}

// slewTo moves the level towards a target as far as a control period allows, and reports
// whether it has further to go.
func (s *sampler) slewTo(target float64) (moving bool) {
	step := slewDBPerS * s.period().Seconds()
	s.levelDB += min(max(target-s.levelDB, -step), step)
	s.sendLevel()
	return s.levelDB != target
}

// sendLevel sends the level controller if it has changed: what we add and what
// came in, summed in dB.
func (s *sampler) sendLevel() {
	if !s.movesLevel() {
		return
	}
	c := &s.profile.Sampler.Level
	incoming := s.incomingLevelDB()
	value := steps(c, s.levelDB+incoming, s.sent.level)
	if value > 0 && !c.Fine && c.Response.At(float64(value)) > s.capDB+incoming {
		value-- // rounded up past the ceiling
	}
	s.sendControl(c, &s.sent.level, value)
}

// incomingLevelDB is what the notation program's own moves of the level
// controller add, dB: 0 until it makes one.
//
// Source: 40·log10(v/127), General MIDI 2 and DLS.
func (s *sampler) incomingLevelDB() float64 {
	c := &s.profile.Sampler.Level
	fine, said := s.in.Fine(c.Number)
	if !said || s.profile.Sampler.Incoming.Level != expr.Multiply {
		return 0
	}
	v := float64(fine >> 7)
	if fine&0x7F > 0 {
		v = float64(fine) / expr.BendMax * 127
	}
	return standardLaw.At(v)
}
