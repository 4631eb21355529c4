package proxy

import (
	"context"
	"fmt"
	"math"
	"slices"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/expr/habits"
	"swellbox/proxy/smf"
)

// Report is what a render did. Its JSON form is an interface that scripts rely on.
type Report struct {
	NotesIn  int          `json:"notes_in"`  // note-ons with a velocity over 0
	NotesOut int          `json:"notes_out"` //
	Parts    []PartReport `json:"parts"`
	Warnings []string     `json:"warnings"` // never nil
}

// PartReport is one part of a [Report].
type PartReport struct {
	Name    string            `json:"name"`
	Profile string            `json:"profile"`
	Players int               `json:"players"`
	Port    int               `json:"port"`    // from 1
	Channel int               `json:"channel"` // 1..16
	Why     string            `json:"why"`     // how the profile was found
	Origin  string            `json:"origin"`  // where the profile comes from
	Notes   uint64            `json:"notes"`
	Passed  uint64            `json:"passed"` // notes out of its range, which passed as they came
	Habits  map[string]uint64 `json:"habits"` // notes that each rule shaped
}

// Render plays a file through the engine and returns the shaped performance as a
// file of the same format, division and tracks: every meta event, system
// exclusive and foreign chunk is kept in its place. Channels that no seating
// names are guessed, and the report says how.
//
// With a lookahead the players have a time of their own, and a note stands at the tick
// nearest after it; bar lines stay where they are. Its error is that of ctx if that
// ends it.
func Render(ctx context.Context, f *smf.File, cast *Cast, manner Manner) (*smf.File, *Report, error) {
	out := &smf.File{Format: f.Format, Division: f.Division, Foreign: f.Foreign, Tracks: make([]smf.Track, len(f.Tracks))}
	report := &Report{Parts: []PartReport{}, Warnings: append([]string{}, f.Warnings...)}
	pieces := 1
	if f.Format == 2 {
		pieces = len(f.Tracks)
	}
	for track := range pieces {
		t, err := NewTimeline(f, track)
		if err != nil {
			return nil, nil, err
		}
		if err := renderPiece(ctx, f, t, cast, &manner, out, report); err != nil {
			return nil, nil, err
		}
	}
	for i := range out.Tracks {
		tr := &out.Tracks[i]
		tr.End = f.Tracks[i].End
		if n := len(tr.Events); n > 0 {
			tr.End = max(tr.End, tr.Events[n-1].Tick)
		}
	}
	return out, report, nil
}

// renderPiece plays one timeline of a file into the tracks of out.
func renderPiece(ctx context.Context, f *smf.File, t *Timeline, cast *Cast, manner *Manner, out *smf.File, report *Report) error {
	rules, err := manner.rules(habits.In(cast.Ensemble().Place()))
	if err != nil {
		return err
	}
	rubato := manner.Rubato
	if manner.Tempos {
		rubato = 0
	}
	w := &writer{timeline: t, lag: manner.Lookahead}
	stage := NewStage(cast, engine.Config{
		Ports: t.Ports, Sides: expr.Shaped, Habits: rules,
		Lookahead: manner.Lookahead, Rubato: rubato, Seed: manner.Seed, Trial: manner.Trial,
	}, w.take)
	t.MarkCalls(cast)
	if manner.Scored {
		score, warning := t.Known(manner.Piece)
		if warning != "" {
			report.Warnings = append(report.Warnings, warning)
		}
		stage.engine.Load(score)
	}
	stage.Failed = func(err error) {
		if !slices.Contains(report.Warnings, err.Error()) {
			report.Warnings = append(report.Warnings, err.Error())
		}
	}
	if err := stage.SeatAll(t.Hints); err != nil {
		return err
	}
	for i := range t.Events {
		if i%1024 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		e := &t.Events[i]
		if e.IsNoteOn() {
			report.NotesIn++
		}
		w.before(t.ticks[i])
		stage.Pull(e.At)
		if manner.Lookahead == 0 {
			w.by(e, t.ticks[i])
		}
		stage.Push(*e)
		stage.Pull(e.At)
	}
	w.before(t.end)
	stage.Pull(t.End)
	if manner.Lookahead > 0 {
		w.before(math.MaxInt64)
	}
	for end := t.End; end < stage.engine.PlayedOut(); { // what is played may have an end yet to come
		end = stage.engine.PlayedOut()
		stage.Pull(end)
	}
	hanging := 0
	for i := range stage.ports * 16 {
		hanging += stage.Sounding(i/16, i%16)
	}
	if hanging > 0 {
		report.Warnings = append(report.Warnings, fmt.Sprintf("notes that have no end in the file, and are ended where it ends: %d", hanging))
	}
	stage.EndNotes() // and lift what pedals are down that nobody wrote
	report.NotesOut += w.notes
	w.layOut(out, f)
	if manner.Tempos && manner.Rubato > 0 {
		if err := writeTempos(out, t, manner.Rubato); err != nil {
			return err
		}
	}
	stage.report(report)
	report.Parts = slices.DeleteFunc(report.Parts, func(p PartReport) bool { return p.Notes+p.Passed == 0 })
	return nil
}

// report adds the stage's parts and their faults to a report.
func (s *Stage) report(r *Report) {
	names := s.engine.HabitNames()
	for _, p := range s.Parts {
		counts := s.engine.Counts(p.Port, p.Channel)
		pr := PartReport{
			Name: p.Name, Profile: p.Profile, Players: p.Players, Port: p.Port + 1, Channel: p.Channel + 1,
			Why: p.Why, Origin: p.Origin, Notes: counts.Notes, Passed: counts.Passed, Habits: make(map[string]uint64, len(names)),
		}
		for i, name := range names {
			pr.Habits[name] = counts.Habits[i]
		}
		r.Parts = append(r.Parts, pr)
		if said := OutOfRange(pr.Name, pr.Profile, pr.Notes, pr.Passed, "passed as they came"); said != "" {
			r.Warnings = append(r.Warnings, said)
		}
		if err := s.engine.Fault(p.Port, p.Channel); err != nil {
			r.Warnings = append(r.Warnings, fmt.Sprintf("part %q: %v", p.Name, err))
		}
	}
	if err := s.engine.Lost(); err != nil {
		r.Warnings = append(r.Warnings, err.Error())
	}
}
