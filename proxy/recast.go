package proxy

import (
	"errors"
	"maps"
	"reflect"

	"swellbox/expr"
	"swellbox/profiles"
)

// recasting is what a new cast has for the seated parts, worked out beforehand.
type recasting struct {
	cast  *Cast
	seats []reseat
}

type reseat struct {
	index   int // in Stage.Parts
	part    Part
	profile *expr.Profile
}

// seated lists what is known of the seated parts, in the order of Parts.
func (s *Stage) seated() []profiles.Hint {
	h := make([]profiles.Hint, len(s.Parts))
	for i, p := range s.Parts {
		h[i] = s.hints[p.Port*16+p.Channel]
	}
	return h
}

// plan chooses for each part anew. It reads documents, so it is done before the
// stage is touched. A part that the new cast has no profile for keeps its own, and
// the error says why.
func plan(c *Cast, seated []profiles.Hint) (*recasting, error) {
	r := &recasting{cast: c}
	var errs []error
	for i, h := range seated {
		part, profile, err := c.tryChoose(h)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		r.seats = append(r.seats, reseat{i, part, profile})
	}
	return r, errors.Join(errs...)
}

// recast puts a plan into effect and reports which parts changed. Each changes at its
// next silence, or with its next note: no sounding note is touched. Parts whose profile
// says the same as before are left alone.
func (s *Stage) recast(r *recasting) (changed []Part, err error) {
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

// Recast plays on with another cast: edited profiles, another seating. It reports the
// parts that changed. An error names what could not be had; those parts play on as
// they did. The ensemble's headroom and ceiling stay as they were at the start.
func (d *Daemon) Recast(c *Cast) (changed []Part, err error) {
	d.mu.Lock()
	seated := d.stage.seated()
	known, library := maps.Clone(d.stage.cast.known), d.stage.cast.Library
	d.mu.Unlock()
	c.inherit(known, library)
	r, errPlan := plan(c, seated)
	d.locked(func() { changed, err = d.stage.recast(r) })
	return changed, errors.Join(errPlan, err)
}
