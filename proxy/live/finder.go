package live

import (
	"swellbox/expr"
	"swellbox/expr/beat"
	"swellbox/expr/following"
	"swellbox/proxy/perform"
)

// finder has the stage know where in the piece the music is: it looks for what comes in in a
// score. The lock of the performance guards it.
type finder struct {
	stage *perform.Stage
	trial expr.Trial
	score *expr.Score // to look in; nil: nothing comes in, or no score is known
	lost  error       // why it is not looked in any more, or nil
	piece piece
}

// follow has what comes in be looked for in a score.
func (f *finder) follow(s *expr.Score) {
	f.lost = nil
	defer f.unfollow()
	f.trial.Of(expr.OfFollowing)
	f.piece = piece{score: s, follower: following.New(s)}
	f.stage.Load(s)
}

// again looks in the score from its beginning, if there is one.
func (f *finder) again() {
	if f.score != nil {
		f.follow(f.score)
	}
}

// know has the stage know a piece of which whoever plays it says where it is; nil for none.
func (f *finder) know(s *expr.Score) {
	f.piece = piece{score: s}
	f.stage.Load(s)
}

// unfollow is deferred where the score is followed: should that fail, the music goes on without
// the score.
func (f *finder) unfollow() {
	if r := recover(); r != nil {
		f.lost = expr.OfFollowing.Loss(r)
		f.piece = piece{}
		f.stage.Load(nil)
	}
}

// place finds an incoming message's place in the score, and tells the engine. Should
// that fail, the music goes on without the score.
func (f *finder) place(e *expr.Event) {
	if f.piece.follower == nil {
		return
	}
	defer f.unfollow()
	f.trial.Of(expr.OfFollowing)
	switch {
	case e.IsNoteOn():
		f.piece.stop(f.stopped())
		f.piece.note(e)
		if p := &f.piece.playing; p.Sure >= sure {
			f.stage.SetPace(p.Tempo)
		}
	case e.Len == 1 && e.Msg[0] == transportStop:
		f.piece.stop(true)
	case e.Len == 3 && e.Msg[0] == songPosition:
		f.piece.stop(f.stopped())
		f.piece.begin()
		f.piece.follower.Locate(float64(int(e.Msg[2])<<7|int(e.Msg[1])) / sixteenths)
	}
}

// stopped reports whether the transport was stopped.
func (f *finder) stopped() bool {
	_, why := f.stage.Transport()
	return why == beat.Stopped
}

// MIDI 1.0: a song position counts sixteenth notes.
const (
	songPosition   = 0xF2
	transportStop  = 0xFC
	transportStart = 0xFA
	sixteenths     = 4 // in a quarter note
)
