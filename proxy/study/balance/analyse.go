package balance

import (
	"context"
	"runtime"
	"strings"

	"swellbox/expr"
	"swellbox/expr/acoustics"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/perform"
)

// Options say where the piece is heard.
type Options struct {
	Room     acoustics.Room
	Listener acoustics.Position
	Seating  *acoustics.Seating
	Where    string // the same in words: "large hall, row 10"

	// Piece is the written score that the file was made of, if there is one: bars are called as they
	// are printed in it.
	Piece *expr.Score

	// Progress is told how many of all bars have been heard, if it is set. It is
	// not called concurrently.
	Progress func(done, total int)
}

// DefaultOptions are a seat in row 10 of a large hall, and the usual seating.
func DefaultOptions() Options {
	room, _ := acoustics.LookupRoom("large")
	return Options{Room: room, Listener: acoustics.Row(10), Seating: &acoustics.Seatings()[0], Where: "large hall, row 10"}
}

// Analyse hears a piece in a hall and in a studio. cast seats its parts, the options
// say where the listener sits. What it gives does not depend on the number of
// processors. The error is that of ctx, or says why the file cannot be analysed.
func Analyse(ctx context.Context, f *smf.File, cast *perform.Cast, opt Options) (*Result, error) {
	s, warnings, err := readScore(f, cast, opt.Seating)
	if err != nil {
		return nil, err
	}
	s.hairpins(opt.Piece)
	rooms := [places]acoustics.Place{hall: acoustics.Hall(opt.Room, opt.Listener), studio: acoustics.Studio()}
	a := &analysis{score: s, bars: make([]heardBar, s.barCount()), notes: s.read(), seating: opt.Seating}
	a.notes.solos = s.solos(opt.Piece)
	for range runtime.GOMAXPROCS(0) {
		a.ears = append(a.ears, newEar(rooms))
	}
	if err := a.hear(ctx, opt.Progress); err != nil {
		return nil, err
	}
	stretches, err := a.explain(ctx)
	if err != nil {
		return nil, err
	}
	return a.result(strings.TrimSpace(f.Tracks[0].Name()), opt, warnings, stretches), nil
}
