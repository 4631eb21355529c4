package perform

import (
	"errors"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/expr/habits"
	"swellbox/profiles/names"
)

// Stage is a [Performance] with its players: it seats the parts, and seats a part
// anew when a program change makes it another instrument.
type Stage struct {
	*Performance
	Parts []Part // in the order in which they were seated
	cast  *Cast
	index []int        // port*16+channel to Parts; Unknown if not seated
	hints []names.Hint // port*16+channel
	uses  []Use        // port*16+channel: of the file; nil without one
	// Seated is told of every part that is seated while playing, if it is set.
	Seated func(Part)
	// Failed is told of a part that could not be seated and so plays raw, if it is set.
	Failed func(error)
}

// NewStage makes a stage of so many ports with the cast's ensemble. cfg's amounts
// of headroom and ceiling are replaced by the ensemble's, and so is the place unless
// it brings its own habits.
func NewStage(cast *Cast, cfg engine.Config, emit func(*expr.Event)) *Stage {
	ensemble := cast.Ensemble()
	cfg.Place = cast.Place
	cfg.HeadroomDB, cfg.CeilingDB = ensemble.HeadroomDB, ensemble.CeilingDB
	if cfg.Habits == nil {
		cfg.Habits = habits.In(ensemble.Place())
	}
	s := &Stage{Performance: NewPerformance(cfg, emit), cast: cast}
	s.index = make([]int, s.ports*16)
	s.hints = make([]names.Hint, s.ports*16)
	for i := range s.index {
		s.index[i] = expr.Unknown
		s.hints[i] = names.Hint{Port: i/16 + 1, Channel: i%16 + 1}
	}
	return s
}

// SeatAll seats parts that are known beforehand, as those of a file are.
func (s *Stage) SeatAll(hints []names.Hint) error {
	var errs []error
	for _, h := range hints {
		s.hints[(h.Port-1)*16+h.Channel-1] = h
		err := s.seat(h)
		if errors.Is(err, errUnseatable) && s.Failed != nil {
			s.Failed(err)
			continue
		}
		errs = append(errs, err)
	}
	return errors.Join(errs...)
}

func (s *Stage) seat(h names.Hint) error {
	part, profile, err := s.cast.Choose(h)
	if err != nil {
		return err
	}
	i := part.Port*16 + part.Channel
	if at := s.index[i]; at != expr.Unknown {
		if was := s.Parts[at]; was.Profile == part.Profile && was.Articulation == part.Articulation && was.ControllerMap == part.ControllerMap {
			return nil
		}
		s.Parts[at] = part
	} else {
		s.index[i] = len(s.Parts)
		s.Parts = append(s.Parts, part)
	}
	return s.Seat(part.Port, part.Channel, profile, part.Players)
}

// Push takes one input event; see [Performance.Push]. A channel that plays its
// first note unseated is seated by a guess.
func (s *Stage) Push(e expr.Event) {
	if e.IsChannel() && int(e.Port) < s.ports {
		i := int(e.Port)*16 + e.Channel()
		switch {
		case e.Msg[0]&0xF0 == 0xC0:
			s.hints[i].Program, s.hints[i].HasProgram = int(e.Msg[1])+1, true
			if j := s.index[i]; j == expr.Unknown || !callsVariant(s.cast, s.Parts[j], int(e.Msg[1])) {
				s.reseat(i, e)
			}
		case s.index[i] == expr.Unknown && e.IsNoteOn():
			s.reseat(i, e)
		}
	}
	s.Performance.Push(e)
}

// callsVariant reports whether a program is a way of playing of the instrument as which a part
// is seated.
func callsVariant(cast *Cast, part Part, program int) bool {
	profile, err := cast.of(part)
	return err == nil && profile.HasProgram(program)
}

// reseat seats a channel while playing. A part that cannot be seated plays on as
// it is.
func (s *Stage) reseat(i int, e expr.Event) {
	s.Pull(e.At)
	before := ""
	if s.index[i] != expr.Unknown {
		before = s.Parts[s.index[i]].Profile
	}
	err := s.seat(s.hints[i])
	switch {
	case err != nil && s.Failed != nil:
		s.Failed(err)
	case err == nil && s.Seated != nil && s.Parts[s.index[i]].Profile != before:
		s.Seated(s.Parts[s.index[i]])
	}
}
