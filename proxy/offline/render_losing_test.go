package offline_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

// A kind of knowledge that fails in a render costs no more than itself: it is named in a
// warning, and the file has every note.
func TestManyRendersLoseOneKind(t *testing.T) {
	for k := range expr.OfAll {
		for _, after := range [...]int{0, 60} {
			for _, tempos := range [...]bool{false, true} {
				t.Run(fmt.Sprintf("%d after %d, tempos %v", k, after, tempos), func(t *testing.T) {
					w := &exprtest.Failing{Kind: k, After: after}
					f := demo.Score()
					out, report, err := offline.Render(t.Context(), f, guessing(t), perform.Manner{Scored: true, Lookahead: 500 * time.Millisecond, Rubato: 1, Tempos: tempos, Trial: w.Try})
					if err != nil {
						t.Fatal(err)
					}
					encode(t, out)
					if n := notesOf(f); notesOf(out) != n || report.NotesIn != n || report.NotesOut != n {
						t.Errorf("the file has %d notes and becomes one of %d; %d in, %d out", n, notesOf(out), report.NotesIn, report.NotesOut)
					}
					said := strings.Join(report.Warnings, "\n")
					if w.Failed() != strings.Contains(said, k.Loss("a wrong turn").Error()) && (k != expr.OfHabits || !strings.Contains(said, "the part plays raw")) {
						t.Errorf("used %d times, and the warnings are %q", w.Uses, said)
					}
					if used := k != expr.OfTransport && k != expr.OfFollowing; used && after == 0 && !w.Failed() {
						t.Error("it was never used")
					}
					shaped := uint64(0)
					for _, p := range report.Parts {
						for _, n := range p.Habits {
							shaped += n
						}
					}
					if shaped == 0 && (k != expr.OfHabits || after > 0) {
						t.Error("nothing is shaped any more")
					}
				})
			}
		}
	}
}

// If even the engine fails, the notes are written as they came.
func TestRenderWritesWhatItCannotShape(t *testing.T) {
	w := &exprtest.Failing{Kind: expr.OfAll, After: 100}
	f := demo.Score()
	out, report, err := offline.Render(t.Context(), f, guessing(t), perform.Manner{Scored: true, Lookahead: 500 * time.Millisecond, Rubato: 1, Trial: w.Try})
	if err != nil {
		t.Fatal(err)
	}
	if string(encode(t, out)) != string(encode(t, f)) || report.NotesIn != notesOf(f) || report.NotesOut != notesOf(f) {
		t.Errorf("%d notes in, %d out, or another file", report.NotesIn, report.NotesOut)
	}
	wantContains(t, "warnings", strings.Join(report.Warnings, "\n"), "shaping failed", "a wrong turn", "as they came")
}

// Where nobody can be found to play the parts, the file has every note all the same.
func TestRenderWithoutPlayers(t *testing.T) {
	f := demo.Score()
	out, report, err := offline.Render(t.Context(), f, &perform.Cast{}, perform.Manner{Scored: true, Rubato: 1})
	if err != nil {
		t.Fatal(err)
	}
	if n := notesOf(f); notesOf(out) != n || report.NotesIn != n || report.NotesOut != n {
		t.Errorf("the file has %d notes and becomes one of %d; %d in, %d out", n, notesOf(out), report.NotesIn, report.NotesOut)
	}
	wantContains(t, "warnings", strings.Join(report.Warnings, "\n"), "port 1 channel 1: nobody can be found to play the part", "it plays raw")
}
