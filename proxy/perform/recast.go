package perform

import (
	"errors"
	"maps"
	"reflect"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/profiles/names"
)

// Recasting is what a new cast has for the seated parts, worked out beforehand.
type Recasting struct {
	cast  *Cast
	seats []reseat
}

type reseat struct {
	index   int // in Stage.Parts
	part    Part
	profile *expr.Profile
}

// Snapshot is what is to be known of a stage to work out what a new cast has for it. It
// is a copy, so that the stage plays on meanwhile.
type Snapshot struct {
	seated  []names.Hint // of the seated parts, in the order of Parts
	known   map[way]*expr.Profile
	library *profiles.Library
}

// Snapshot copies what [Snapshot.Plan] needs.
func (s *Stage) Snapshot() *Snapshot {
	h := make([]names.Hint, len(s.Parts))
	for i, p := range s.Parts {
		h[i] = s.hints[p.Port*16+p.Channel]
	}
	return &Snapshot{h, maps.Clone(s.cast.known), s.cast.Library}
}

// Plan chooses for each part anew. It reads documents, so it is done before the
// stage is touched. A part that the new cast has no profile for keeps its own, and
// the error says why.
func (b *Snapshot) Plan(c *Cast) (*Recasting, error) {
	c.inherit(b.known, b.library)
	r := &Recasting{cast: c}
	var errs []error
	for i, h := range b.seated {
		part, profile, err := c.Choose(h)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		r.seats = append(r.seats, reseat{i, part, profile})
	}
	return r, errors.Join(errs...)
}

// Recast puts a plan into effect and reports which parts changed. Each changes at its
// next silence, or with its next note: no sounding note is touched. Parts whose profile
// says the same as before are left alone.
func (s *Stage) Recast(r *Recasting) (changed []Part, err error) {
	old := s.cast
	s.cast = r.cast
	var errs []error
	for _, seat := range r.seats {
		was := s.Parts[seat.index]
		before, _ := old.of(was) // it was resolved when it was seated
		s.Parts[seat.index] = seat.part
		if (before == seat.profile || reflect.DeepEqual(before, seat.profile)) && was.Players == seat.part.Players {
			continue
		}
		if err := s.Seat(seat.part.Port, seat.part.Channel, seat.profile, seat.part.Players); err != nil {
			errs = append(errs, err)
			continue
		}
		changed = append(changed, seat.part)
	}
	return changed, errors.Join(errs...)
}
