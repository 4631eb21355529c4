package offline_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// Keyswitches that no profile declares, far under the range and beside it but as short as
// nobody plays, are in the shaped file where they were and as they were. The music is played
// as if they were not there.
func TestRenderPassesKeyswitches(t *testing.T) {
	var music, far, near [][]smf.Event
	for i := range int64(8) {
		music = append(music, note(480*i+10, 450, 0, byte(67+i), byte(60+8*i)))
		far = append(far, note(480*i, 240, 0, byte(i%3), 1))
		near = append(near, note(480*i, 4, 0, byte(48+i%3), 1))
	}
	for _, manner := range []perform.Manner{{}, {Scored: true}, {Scored: true, Lookahead: 500 * time.Millisecond, Rubato: 1, Tempos: true}, {Lookahead: 500 * time.Millisecond}} {
		alone, _ := performed(t, score(named("Violin I", 0, 41, music...)), manner)
		for name, calls := range map[string][][]smf.Event{"far": far, "near": near} {
			if name == "near" && !manner.Scored && manner.Lookahead == 0 {
				continue // nobody can know how long they will be
			}
			out, report := performed(t, score(named("Violin I", 0, 41, append(slices.Clone(music), calls...)...)), manner)
			if p := report.Parts[0]; p.Notes != 8 || p.Passed != 8 {
				t.Errorf("%s, %+v: %d notes are shaped and %d passed, want 8 of both", name, manner, p.Notes, p.Passed)
			}
			wantContains(t, "the warnings", strings.Join(report.Warnings, "\n"), "Violin I: 8 notes out of range passed as they came: keyswitches?")
			isCall := func(e smf.Event) bool { return e.Data[0] < 0xA0 && e.Data[1] < 55 }
			var passed []smf.Event
			for _, e := range out.Tracks[0].Events {
				if isCall(e) {
					passed = append(passed, e)
				}
			}
			same := func(a, b smf.Event) bool { return a.Tick == b.Tick && bytes.Equal(a.Data, b.Data) }
			if want := slices.Concat(calls...); !manner.Tempos && !slices.EqualFunc(passed, want, same) {
				t.Errorf("%s, %+v: the keyswitches come out as\n%v\nwant\n%v", name, manner, passed, want)
			}
			if rest := slices.DeleteFunc(out.Tracks[0].Events, isCall); manner.Scored && manner.Lookahead == 0 && !slices.EqualFunc(rest, alone.Tracks[0].Events, same) {
				t.Errorf("%s, %+v: with keyswitches the music is\n%v\nwithout\n%v", name, manner, rest, alone.Tracks[0].Events)
			}
		}
	}
}

// A player who takes up another instrument plays in its range.
func TestRenderRangeFollowsTheProgram(t *testing.T) {
	low := [][]smf.Event{{at(480, 0xC0, 43)}, note(480, 480, 0, 30, 80), note(960, 480, 0, 31, 80)}
	_, report := performed(t, score(named("", 0, 41, append([][]smf.Event{note(0, 400, 0, 67, 80)}, low...)...)), perform.Manner{Scored: true})
	if p := report.Parts[0]; p.Notes != 3 || p.Passed != 0 || len(report.Warnings) != 0 {
		t.Errorf("%+v with %q, want the double basses to play their two notes", p, report.Warnings)
	}
}

// A part most of whose notes nobody can play is another instrument's.
func TestRenderDoubtsWhatIsOutOfRange(t *testing.T) {
	_, report := render(t, score(named("Piccolo", 0, 0, note(0, 480, 0, 40, 80), note(480, 480, 0, 41, 80))))
	wantContains(t, "the warnings", strings.Join(report.Warnings, "\n"), "Piccolo: 2 notes of 2 out of the range of piccolo passed as they came: is it the right instrument?")
}

// performed renders by guesses, where players may end their notes as they like.
func performed(t *testing.T, f *smf.File, manner perform.Manner) (*smf.File, *offline.Report) {
	t.Helper()
	out, report, err := offline.Render(t.Context(), f, guessing(t), manner)
	if err != nil {
		t.Fatal(err)
	}
	return out, report
}
