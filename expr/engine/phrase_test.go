package engine

import (
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// Where a part is in its phrase is told as time goes on: by a score from its start to its end, by ear
// only since when; and nothing is told of who has not played, nor once the phrase is over.
func TestWhereInThePhrase(t *testing.T) {
	const each = 400 * exprtest.Thousandth
	for _, scored := range []bool{true, false} {
		var in []expr.Event
		for i := range 10 {
			on := time.Duration(i) * each
			if i >= 5 {
				on += 1600 * exprtest.Thousandth // a rest, in which the second phrase begins
			}
			in = append(in, exprtest.On(on, uint8(60+i%5), 80), exprtest.Off(on+each-50*exprtest.Thousandth, uint8(60+i%5)))
		}
		score := written(in)
		for i := range score.Notes {
			score.Notes[i].Marks = 0
		}
		e := seated(t, expr.Shaped)
		if scored {
			e.Load(score)
		}
		tell := func(channel int) [2]time.Duration {
			c := e.Counts(0, channel)
			return [2]time.Duration{c.PhraseSince, c.PhraseUntil}
		}
		nothing := [2]time.Duration{expr.Unknown, expr.Unknown}
		if got := tell(0); got != nothing {
			t.Errorf("scored %v: before anything is played: %v", scored, got)
		}
		pull := func(to time.Duration) [2]time.Duration { e.Pull(to, func(*expr.Event) {}); return tell(0) }
		for _, ev := range in[:4] {
			pull(ev.At)
			e.Push(ev)
		}
		at := pull(in[3].At)
		later := pull(in[3].At + 20*exprtest.Thousandth)
		if at[0] != in[3].At || later[0] != at[0]+20*exprtest.Thousandth {
			t.Errorf("scored %v: its phrase began %v and %v ago, the last of it %v after its start", scored, at[0], later[0], in[3].At)
		}
		if end := in[9].At; scored && (at[0]+at[1] != end || later[0]+later[1] != end) {
			t.Errorf("its phrase is %v and %v long, want %v", at[0]+at[1], later[0]+later[1], end)
		}
		if !scored && (at[1] != expr.Unknown || later[1] != expr.Unknown) {
			t.Errorf("by ear it is told when the phrase ends: %v, %v", at, later)
		}
		if got := tell(1); got != nothing {
			t.Errorf("scored %v: of who is silent: %v", scored, got)
		}
		if got := pull(in[10].At - each); scored && got != nothing {
			t.Errorf("in the rest after it: %v", got)
		}
	}
}
