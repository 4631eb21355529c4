package offline_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/expr/engine"
	"swellbox/expr/habits"
	"swellbox/expr/hearing"
	"swellbox/expr/timing"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

// inBars has the players' time be that of a rendered file by default.
var inBars = perform.Manner{Scored: true, Lookahead: 2 * engine.MaxDeviation, Rubato: 1, Tempos: true, Seed: 3}

// onset is when a note starts: its key with its channel, and the tick.
type onset struct {
	key  [2]byte
	tick int64
}

// onsets are those of each track, in the order of key and time.
func onsets(f *smf.File) [][]onset {
	all := make([][]onset, len(f.Tracks))
	for i, tr := range f.Tracks {
		for _, e := range tr.Events {
			if e.Data[0]&0xF0 == 0x90 && e.Data[2] > 0 {
				all[i] = append(all[i], onset{[2]byte{e.Data[0], e.Data[1]}, e.Tick})
			}
		}
		slices.SortStableFunc(all[i], func(a, b onset) int { return slices.Compare(a.key[:], b.key[:]) })
	}
	return all
}

// Notes stay in their bars: by the score's ticks each is within the bound of its beat. The
// rubato is in the tempos, all of it.
func TestTempoBreathesAndNotesStay(t *testing.T) {
	raw := demo.Score()
	shaped, report, err := offline.Render(t.Context(), raw, guessing(t), inBars)
	if err != nil {
		t.Fatal(err)
	}
	if want := (offline.Timing{Breath: "tempos", WithinMS: 60}); report.Timing != want {
		t.Errorf("the report says %+v, want %+v", report.Timing, want)
	}
	written, err := smf.NewTempoMap(raw, 0)
	if err != nil {
		t.Fatal(err)
	}
	played, err := smf.NewTempoMap(shaped, 0)
	if err != nil {
		t.Fatal(err)
	}
	was, is := onsets(raw), onsets(shaped)
	moved := time.Duration(0)
	for i := range was {
		if len(was[i]) != len(is[i]) {
			t.Fatalf("track %d: %d notes raw, %d shaped", i+1, len(was[i]), len(is[i]))
		}
		for j := range was[i] {
			off := (written.At(is[i][j].tick) - written.At(was[i][j].tick)).Abs()
			moved = max(moved, off)
			if off > engine.MaxOwnShift+2*time.Millisecond { // the tick after
				t.Errorf("track %d: a note of tick %d stands at %d, %v off", i+1, was[i][j].tick, is[i][j].tick, off)
			}
		}
	}
	if moved == 0 {
		t.Error("no player has a time of its own")
	}
	score := timeline(t, raw, 0).Score()
	warp := habits.Rubato{}.Warp(hearing.CourseOf(score), inBars.Rubato, timing.Unheld, engine.MaxLookahead)
	breath := time.Duration(0)
	for _, n := range score.Notes {
		tick := int64(n.Beat*480 + 0.5)
		shift := played.At(tick) - written.At(tick)
		breath = max(breath, shift.Abs())
		if off := (shift - warp.At(n.On)).Abs(); off > 15*time.Millisecond { // between two tempos
			t.Errorf("at beat %g the tempos have the ensemble %v later, the rubato %v", n.Beat, shift, warp.At(n.On))
		}
	}
	if breath < 100*time.Millisecond {
		t.Errorf("the tempo breathes by %v", breath)
	}
}

// The demonstration's score has its ritard written: the end comes no later for it.
func TestDemoHasOneRitard(t *testing.T) {
	raw := demo.Score()
	shaped, _, err := offline.Render(t.Context(), raw, guessing(t), demo.Manner())
	if err != nil {
		t.Fatal(err)
	}
	last := func(f *smf.File) (at time.Duration) {
		for _, e := range timeline(t, f, 0).Events {
			if e.IsNoteOn() {
				at = max(at, e.At)
			}
		}
		return at
	}
	if later := last(shaped) - last(raw); later.Abs() > engine.MaxOwnShift {
		t.Errorf("the last note comes %v later", later)
	}
}

// Where no habit has the tempo breathe, where the piece is not known, and where a file has no room for
// it, the tempos stay as they are.
func TestTemposStay(t *testing.T) {
	withoutRubato, unknown := inBars, inBars
	withoutRubato.Without = []string{"rubato"}
	unknown.Scored = false
	still := inBars
	still.Rubato = 0
	smpte := everything(1, smf.Division{FramesPerSecond: 25, TicksPerFrame: 40})
	several := everything(2, smf.Division{TicksPerQuarter: 480})
	for name, c := range map[string]struct {
		file   *smf.File
		manner perform.Manner
		warns  string
	}{
		"without the habit": {demo.Score(), withoutRubato, ""},
		"of no amount":      {demo.Score(), still, ""},
		"not known":         {demo.Score(), unknown, ""},
		"SMPTE":             {smpte, inBars, "SMPTE time"},
		"several pieces":    {several, inBars, "several pieces"},
	} {
		shaped, report, err := offline.Render(t.Context(), c.file, guessing(t), c.manner)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if a, b := temposOf(c.file), temposOf(shaped); !slices.Equal(a, b) {
			t.Errorf("%s: tempos %v became %v", name, a, b)
		}
		if report.Timing.Breath != "" {
			t.Errorf("%s: the report has the tempo breathe in %s", name, report.Timing.Breath)
		}
		warned := strings.Join(report.Warnings, "\n")
		if c.warns != "" && (!strings.Contains(warned, c.warns) || !strings.Contains(warned, "--timing notes")) {
			t.Errorf("%s: warns %q", name, warned)
		}
	}
}

func temposOf(f *smf.File) (all []string) {
	for _, tr := range f.Tracks {
		for _, e := range tr.Events {
			if kind, payload, ok := e.Meta(); ok && kind == smf.MetaTempo {
				all = append(all, string(payload))
			}
		}
	}
	return all
}

// In the notes the ensemble takes as much time as in the tempos: it sounds the same.
func TestNotesBreatheAsTemposDo(t *testing.T) {
	raw := demo.Score()
	free := inBars
	free.Tempos, free.Free = false, true
	sounding := func(m perform.Manner) (at [][]time.Duration) {
		shaped, report, err := offline.Render(t.Context(), raw, guessing(t), m)
		if err != nil {
			t.Fatal(err)
		}
		if want := map[bool]string{true: "tempos", false: "notes"}[m.Tempos]; report.Timing.Breath != want {
			t.Errorf("the report has the tempo breathe in %q, want %q", report.Timing.Breath, want)
		}
		played, err := smf.NewTempoMap(shaped, 0)
		if err != nil {
			t.Fatal(err)
		}
		if m.Free && !slices.Equal(temposOf(shaped), temposOf(raw)) {
			t.Error("the tempos are not those of the file")
		}
		for _, track := range onsets(shaped) {
			at = append(at, nil)
			for _, o := range track {
				at[len(at)-1] = append(at[len(at)-1], played.At(o.tick))
			}
		}
		return at
	}
	tempos, notes := sounding(inBars), sounding(free)
	for i := range tempos {
		for j := range tempos[i] {
			if off := (tempos[i][j] - notes[i][j]).Abs(); off > 15*time.Millisecond { // between two tempos
				t.Fatalf("track %d: a note sounds at %v by the tempos, at %v by itself", i+1, tempos[i][j], notes[i][j])
			}
		}
	}
}
