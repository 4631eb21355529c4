package offline

import (
	"context"
	"fmt"
	"math"
	"slices"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/expr/habits"
	"swellbox/expr/hearing"
	"swellbox/expr/timing"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/perform"
)

// Report is what a render did. Its JSON form is an interface that scripts rely on.
type Report struct {
	NotesIn  int                  `json:"notes_in"`  // note-ons with a velocity over 0
	NotesOut int                  `json:"notes_out"` //
	Parts    []perform.PartReport `json:"parts"`
	Timing   Timing               `json:"timing"`
	Warnings []string             `json:"warnings"` // never nil
}

// Doubts are those of all parts.
func (r *Report) Doubts() []string {
	var doubts []string
	for i := range r.Parts {
		doubts = append(doubts, r.Parts[i].Doubts()...)
	}
	return doubts
}

// Timing says when the notes of a render stand.
type Timing struct {
	Breath   string  `json:"breath"`    // where the ensemble's rubato is: "tempos", "notes", or empty for none
	WithinMS float64 `json:"within_ms"` // how far a player's note is from the ensemble's beat at most, at the written tempo
}

// warn adds a warning, once.
func (r *Report) warn(text string) {
	if !slices.Contains(r.Warnings, text) {
		r.Warnings = append(r.Warnings, text)
	}
}

// Render plays a file through the engine and returns the shaped performance as a
// file of the same format, division and tracks: every meta event, system
// exclusive and foreign chunk is kept in its place. Channels that no seating
// names are guessed, and the report says how.
//
// With a lookahead the players have a time of their own, within [engine.MaxOwnShift] of the
// ensemble's, and a note stands at the tick nearest after it; bar lines stay where they are. The
// ensemble's own is written as tempos if the manner says so, else the notes are moved by it too.
// The error is that of ctx if that ends it.
func Render(ctx context.Context, f *smf.File, cast *perform.Cast, manner perform.Manner) (*smf.File, *Report, error) {
	out := &smf.File{Format: f.Format, Division: f.Division, Foreign: f.Foreign, Tracks: make([]smf.Track, len(f.Tracks))}
	report := &Report{Parts: []perform.PartReport{}, Warnings: append([]string{}, f.Warnings...)}
	pieces := 1
	if f.Format == 2 {
		pieces = len(f.Tracks)
	}
	var timelines []*Timeline
	for track := range pieces {
		t, err := NewTimeline(f, track)
		if err != nil {
			return nil, nil, err
		}
		timelines = append(timelines, t)
		before := *report
		if reason := perform.Caught(func() { err = renderPiece(ctx, f, t, cast, &manner, out, report) }); reason != nil {
			report.NotesOut, report.Parts = before.NotesOut, before.Parts
			asItCame(f, out, t, track, report, before.NotesIn)
			report.warn(fmt.Sprintf("shaping failed: %v; the notes are written as they came", reason))
		}
		if err != nil {
			return nil, nil, err
		}
	}
	for _, text := range EmptySeats(cast.Seating, timelines...) {
		report.warn(text)
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
func renderPiece(ctx context.Context, f *smf.File, t *Timeline, cast *perform.Cast, manner *perform.Manner, out *smf.File, report *Report) error {
	chosen, err := manner.Habits(habits.In(cast.Ensemble().Place()))
	if err != nil {
		return err
	}
	rubato, breath := timingOf(manner, chosen, out, report)
	w := &writer{timeline: t, lag: manner.Lookahead}
	stage := perform.NewStage(cast, engine.Config{
		Ports: t.Ports, Sides: expr.Shaped, Habits: chosen,
		Lookahead: manner.Lookahead, Rubato: rubato, Seed: manner.Seed, Trial: manner.Trial,
	}, w.take)
	t.MarkCalls(cast)
	var score *expr.Score
	if manner.Scored {
		var warnings []string
		score, warnings = t.ScoreFor(manner)
		for _, w := range warnings {
			report.warn(w)
		}
		stage.Load(score)
	}
	stage.Failed = func(err error) {
		report.warn(err.Error())
	}
	stage.Expect(t.Uses())
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
	for end := t.End; end < stage.PlayedOut(); { // what is played may have an end yet to come
		end = stage.PlayedOut()
		stage.Pull(end)
	}
	hanging := 0
	for i := range t.Ports * 16 {
		hanging += stage.Sounding(i/16, i%16)
	}
	if hanging > 0 {
		report.Warnings = append(report.Warnings, fmt.Sprintf("notes that have no end in the file, and are ended where it ends: %d", hanging))
	}
	stage.EndNotes() // and lift what pedals are down that nobody wrote
	report.NotesOut += w.notes
	parts, warnings := stage.Report()
	report.Parts, report.Warnings = append(report.Parts, parts...), append(report.Warnings, warnings...)
	if manner.GiveBack {
		w.before(math.MaxInt64)
		stage.GiveBack(manner.Lookahead)
	}
	w.layOut(out, f)
	if breath > 0 && score != nil {
		reason := perform.Caught(func() {
			manner.Trial.Of(expr.OfRubato)
			warp := habits.Rubato{}.Warp(hearing.CourseOf(score), breath, timing.Unheld, mostRitard)
			if !manner.Tempos {
				moveNotes(out, t, warp)
			} else if err := writeTempos(out, t, warp); err != nil {
				report.warn(err.Error())
				return
			}
			countRubato(report, score, warp)
		})
		if reason != nil {
			report.warn(expr.OfRubato.Loss(reason).Error())
		}
	}
	report.Parts = slices.DeleteFunc(report.Parts, func(p perform.PartReport) bool { return p.Notes+p.Passed == 0 })
	for _, text := range meetings(report.Parts) {
		report.warn(text)
	}
	return nil
}

// timingOf is how much of the rubato is played by the notes and how much is written as tempos of
// a file; it notes that in the report.
func timingOf(m *perform.Manner, chosen []expr.Habit, out *smf.File, report *Report) (played, written float64) {
	has := func(habit expr.Habit) bool {
		return slices.ContainsFunc(chosen, func(h expr.Habit) bool { return h.About().Key == habit.About().Key })
	}
	if m.Lookahead > 0 && has(habits.Together{}) {
		report.Timing.WithinMS = float64(min(engine.MaxOwnShift, m.Lookahead/2).Milliseconds())
	}
	switch {
	case m.Rubato == 0 || !has(habits.Rubato{}):
	case !m.Tempos && m.Lookahead > 0:
		report.Timing.Breath = "notes"
		if m.Free && m.Scored && len(out.Tracks) > 0 && (out.Format != 2 || len(out.Tracks) == 1) {
			return 0, m.Rubato
		}
		return m.Rubato, 0
	case m.Tempos && m.Scored:
		if err := holdsTempos(out); err != nil {
			report.warn(err.Error())
			return 0, 0
		}
		report.Timing.Breath = "tempos"
		return 0, m.Rubato
	}
	return 0, 0
}

// countRubato counts the notes of each part that come at another time by a rubato.
func countRubato(report *Report, score *expr.Score, warp *timing.Warp) {
	for i := range report.Parts {
		p := &report.Parts[i]
		for j := range score.Notes {
			n := &score.Notes[j]
			if int(n.Port)+1 == p.Port && int(n.Channel)+1 == p.Channel && warp.At(n.On) != 0 {
				p.Habits[habits.Rubato{}.About().Flag()]++
			}
		}
	}
}
