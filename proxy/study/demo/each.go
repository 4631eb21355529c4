package demo

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"

	"swellbox/expr/engine"
	"swellbox/expr/habits"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// Manner is how the demonstration is played: with all habits, the score known, with half of
// the normal rubato, which is written as tempos so that notes stay in their bars.
func Manner() perform.Manner {
	return perform.Manner{Scored: true, Lookahead: 2 * engine.MaxDeviation, Rubato: 0.5, Tempos: true, GiveBack: true, Seed: 1}
}

// ground are the habits that every performance with one habit rests on: they set the level
// that the others start from.
var ground = []string{(habits.Marks{}).About().Flag(), (&habits.OrchestraWeight{}).About().Flag()}

// Over are a habit and those that it rests on.
func Over(name string) []string {
	return slices.Compact(slices.Sorted(slices.Values(append([]string{name}, ground...))))
}

// Solo is a performance with one habit alone.
type Solo struct {
	Name   string // the habit's, or [Raw] or [All]
	File   *smf.File
	Report *offline.Report // nil of the raw performance
}

// Names of the performances that are not with one habit.
const (
	Raw = "raw"
	All = "all"
)

// EachHabit performs a piece raw, with each habit alone in their order, and by all. Beside its
// own habit each performance has those that set the level, marks and orchestra weight; these
// two themselves are performed as marks alone, and as both.
func EachHabit(ctx context.Context, piece *Piece, cast *perform.Cast) ([]Solo, error) {
	solos := []Solo{{Name: Raw, File: piece.File}}
	for _, about := range habits.All() {
		name := about.Flag()
		m := Manner()
		m.Only = Over(name)
		if name == ground[0] {
			m.Only = []string{name}
		}
		solo, err := performed(ctx, name, piece, cast, m)
		if err != nil {
			return nil, err
		}
		solos = append(solos, solo)
	}
	both, err := Together(ctx, piece, cast)
	if err != nil {
		return nil, err
	}
	return append(solos, both[1]), nil
}

// Together performs a piece raw, and with all habits: the first and the last of [EachHabit].
func Together(ctx context.Context, piece *Piece, cast *perform.Cast) ([]Solo, error) {
	all, err := performed(ctx, All, piece, cast, Manner())
	if err != nil {
		return nil, err
	}
	return []Solo{{Name: Raw, File: piece.File}, all}, nil
}

func performed(ctx context.Context, name string, piece *Piece, cast *perform.Cast, m perform.Manner) (Solo, error) {
	m.Piece = piece.Score
	file, report, err := offline.Render(ctx, piece.File, cast, m)
	if err != nil {
		return Solo{}, fmt.Errorf("performing by %s: %w", name, err)
	}
	return Solo{Name: name, File: file, Report: report}, nil
}

// listenFor says in plain words what is to be heard of each performance.
func listenFor(name string) string {
	switch name {
	case Raw:
		return "the score as a notation program plays it: every note on time, and at the level of its mark to the end"
	case All:
		return "all of it together; nothing should call attention to itself"
	}
	if about := habits.Named(name); about != nil {
		return cmp.Or(about.Listen, about.Sentence)
	}
	return ""
}

// Listening writes what to listen for in each performance, a line each. An error is that
// of w.
func Listening(w io.Writer, title string, solos []Solo) error {
	var b bytes.Buffer
	fmt.Fprintf(&b, `%s, as a notation program plays it, with one habit at a time, and with all.
Each habit is heard over the written dynamics and the orchestra's balance, so compare it
with orchestra-weight.wav. All are written at one gain; start quiet.

`, title)
	for _, s := range solos {
		fmt.Fprintf(&b, "%-17s %s\n", s.Name+".wav", listenFor(s.Name))
	}
	if _, err := w.Write(b.Bytes()); err != nil {
		return fmt.Errorf("cannot write what to listen for: %w", err)
	}
	return nil
}
