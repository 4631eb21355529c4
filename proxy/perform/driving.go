package perform

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/beat"
	"swellbox/expr/hearing"
)

// What the engine is told and tells besides the music; see its methods of the same names.

// Load has the engine know the piece; nil: nothing is known.
func (s *Stage) Load(score *expr.Score) { s.engine.Load(score) }

// SetPace tells how fast the music goes by what is written: 2 is twice as fast.
func (s *Stage) SetPace(pace float64) { s.engine.SetPace(pace) }

// SetLookahead delays what comes in from now on by so much.
func (s *Stage) SetLookahead(l time.Duration) { s.engine.SetLookahead(l) }

// Lookahead is the delay that was asked for, and what it is now.
func (s *Stage) Lookahead() (asked, now time.Duration) { return s.engine.Lookahead() }

// PlayedOut is when all that has come in will have sounded.
func (s *Stage) PlayedOut() time.Duration { return s.engine.PlayedOut() }

// Reflect has the engine think about what has just left.
func (s *Stage) Reflect() { s.engine.Reflect() }

// Transport is whether the sequence runs, and by what that is told.
func (s *Stage) Transport() (beat.State, beat.Reason) { return s.engine.Transport() }

// Beat is where the beat is, as far as that is heard.
func (s *Stage) Beat() hearing.Beat { return s.engine.Beat() }

// Place is how a channel stands.
func (s *Stage) Place(port, channel int) expr.Place { return s.engine.Standing(port, channel).Place }

// Fault is what has failed in the playing of a channel, or nil.
func (s *Stage) Fault(port, channel int) error { return s.engine.Fault(port, channel) }

// PlaysRaw reports whether a channel plays raw for what has failed.
func (s *Stage) PlaysRaw(port, channel int) bool { return s.engine.Raw(port, channel) }

// Lost is what has failed of all that parts share, or nil.
func (s *Stage) Lost() error { return s.engine.Lost() }

// Retry has what failed be tried again.
func (s *Stage) Retry() { s.engine.Retry() }

// NotesOut is how many note-ons were let out, whichever side.
func (s *Stage) NotesOut() uint64 { return s.desk.notes }

// Cast is who finds the players now.
func (s *Stage) Cast() *Cast { return s.cast }
