package pedalling

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"
)

const ms = time.Millisecond

// What a listener would see the foot do, passage by passage.
func TestPassages(t *testing.T) {
	progression := []string{"C3+E4+G4+C5/1 F3+F4+A4+C5/1 G3+D4+G4+B4/1 C3+E4+G4+C5/1"}
	alberti := []string{"C3/.25 G3/.25 E3/.25 G3/.25 C3/.25 G3/.25 E3/.25 G3/.25 " +
		"D3/.25 G3/.25 F3/.25 G3/.25 D3/.25 G3/.25 F3/.25 G3/.25 C3/.25 G3/.25 E3/.25 G3/.25 C3/1"}
	waltz := []string{"C3/1 E4+G4+C5/1 E4+G4+C5/1 F3/1 F4+A4+C5/1 F4+A4+C5/1 " +
		"G2/1 F4+G4+B4/1 F4+G4+B4/1 C3/1 E4+G4+C5/2"}
	tune := "^C5/1 ^D5/1 ^E5/1 ^G5/1"
	rests := []string{"G3+B3+D4/1 -/3 C3+E3+G3/1 C3+E3+G3/1 -/2 C3+E3+G3/1"}
	for _, test := range []struct {
		name string
		kind Kind
		half bool
		p    passage
		want string
	}{
		{"chords", Piano, false, passage{bpm: 60, voices: progression},
			"1+100 down, 2+100 up, 2+300 down, 3+100 up, 3+300 down, 4+100 up, 4+300 down, 5+950 up"},
		{"chords of unknown length", Piano, false, passage{bpm: 60, voices: progression, causal: true},
			"1+77 down, 2+100 up, 2+300 down, 3+100 up, 3+300 down, 4+100 up, 4+300 down, 5+950 up"},
		{"added seventh", Piano, false, passage{bpm: 60, voices: []string{"G3+B3+D4/1 G3+B3+D4+F4/1"}},
			"1+100 down, 3+950 up"},
		{"added seventh by itself", Piano, false, passage{bpm: 60, voices: []string{"G3+B3+D4/1", "-/1 F4/1"}},
			"1+77 down, 3+950 up"},
		{"broken chords", Piano, false, passage{bpm: 120, voices: alberti},
			"1+300 down, 3+15 up, 3+75 down, 5+15 up, 5+75 down, 7+475 up"},
		{"broken chords of unknown length", Piano, false, passage{bpm: 120, voices: alberti, causal: true},
			"1+300 down, 3+15 up, 3+75 down, 5+15 up, 5+75 down, 7+475 up"},
		{"broken chords under a tune", Piano, false, passage{bpm: 100, voices: []string{
			"C3/.25 G3/.25 E3/.25 G3/.25 C3/.25 G3/.25 E3/.25 G3/.25 B2/.25 G3/.25 D3/.25 G3/.25 B2/.25 G3/.25 D3/.25 G3/.25 C3/.25 G3/.25 E3/.25 G3/.25 C3/1",
			"^E5/1 ^D5/.5 ^C5/.5 ^D5/1 ^G5/1 ^E5/2"}},
			"1+350 down, 3+15 up, 3+75 down, 5+15 up, 5+75 down, 7+570 up"},
		{"waltz", Piano, false, passage{bpm: 150, voices: waltz},
			"1+63 down, 4+63 up, 4+189 down, 7+63 up, 7+189 down, 10+63 up, 10+189 down, 13+360 up"},
		{"waltz of unknown lengths", Piano, false, passage{bpm: 150, voices: waltz, causal: true},
			"2+63 down, 4+63 up, 4+189 down, 7+63 up, 7+189 down, 10+63 up, 10+189 down, 13+360 up"},
		{"walking bass", Piano, false, passage{bpm: 60, voices: []string{"C3+E4+G4+C5/1 B2+E4+G4+C5/1 A2+E4+G4+C5/1"}},
			"1+100 down, 2+100 up, 2+300 down, 3+100 up, 3+300 down, 4+950 up"},
		{"quick chords", Piano, false, passage{bpm: 300, voices: progression}, ""},
		{"scale after a chord", Piano, false, passage{bpm: 160, causal: true, voices: []string{
			"C3+G3+E4/2 C4/.5 D4/.5 E4/.5 F4/.5 G4/.5 A4/.5 B4/.5 C5/2"}},
			"1+77 down, 3+237 up, 7+212 down, 9+150 up"},
		{"slow line", Piano, false, passage{bpm: 60, causal: true, voices: []string{"C5/1 D5/1 E5/1 C5/1"}},
			"1+400 down, 2+100 up, 2+400 down, 3+100 up, 3+400 down, 5+950 up"},
		{"tune over a chord in the fingers", Piano, false, passage{bpm: 80, voices: []string{"C3+G3+E4/4", tune}},
			"1+77 down, 2+86 up, 2+259 down, 3+86 up, 3+259 down, 5+712 up"},
		{"tune over a chord in the pedal", Piano, false, passage{bpm: 80, voices: []string{"C3+G3+E4/1 -/3 C3+G3+E4/1", tune + " ^C5/1"}},
			"1+120 down, 5+86 up, 5+259 down, 6+712 up"},
		{"half steps over a chord in the pedal", Piano, true, passage{bpm: 80, voices: []string{"C3+G3+E4/1 -/3 C3+G3+E4/1", "^C5/1 ^B4/1 ^C5/1 ^G5/1 ^C5/1"}},
			"1+120 down, 2+86 half, 2+259 down, 3+86 half, 3+259 down, 6+712 up"},
		{"organ point", Piano, true, passage{bpm: 60, voices: []string{"C2/.5", "-/.5 E4+G4+C5/1 F4+A4+C5/1 F4+G4+B4/1 E4+G4+C5/1"}},
			"1+77 down, 2+600 half, 2+800 down, 3+600 half, 3+800 down, 4+600 half, 4+800 down, 6+450 up"},
		{"third at the bottom", Piano, false, passage{bpm: 60, voices: []string{"C2+G3+E4/1 E2+G3+E4/1"}},
			"1+100 down, 2+100 up, 2+300 down, 3+950 up"},
		{"long rests", Piano, false, passage{bpm: 60, voices: rests}, "5+100 down, 6+950 up, 9+77 down, 10+950 up"},
		{"long rests not foreseen", Piano, false, passage{bpm: 60, voices: rests, causal: true},
			"1+77 down, 2+950 up, 5+77 down, 7+950 up, 9+77 down, 10+950 up"},
		{"staccato", Piano, false, passage{bpm: 60, voices: []string{"G3+B3+D4/1. C4+E4+G4/1."}}, ""},
		{"staccato after a chord", Piano, false, passage{bpm: 60, voices: []string{"G3+B3+D4/1 G3+B3+D4/1. G3+B3+D4/1"}},
			"1+100 down, 2+0 up, 3+100 down, 4+950 up"},
		{"ornament", Piano, false, passage{bpm: 60, voices: []string{"C3+E4+G4/2", "-/.92 ^A5/.08 ^G5/1"}}, "1+77 down, 2+50 up, 2+150 down, 3+950 up"},
		{"quick broken chords", Piano, false, passage{bpm: 80, voices: []string{
			"C3/.125 E3/.125 G3/.125 C4/.125 E4/.125 G4/.125 E4/.125 C4/.125 F3/.125 A3/.125 C4/.125 F4/.125 A4/.125 C5/.125 A4/.125 F4/.125 C3+E3+G3+C4/2"}},
			"1+237 down, 2+11 up, 2+71 down, 3+50 up, 3+150 down, 5+675 up"},
		{"tune that piles up over a chord in the pedal", Piano, false, passage{bpm: 80, voices: []string{"C3+G3+E4/.9", "^C6/1 ^D6/1 ^F6/1 ^A6/1 ^C6/1"}},
			"1+77 down, 4+86 up, 4+259 down, 6+712 up"},
		{"glissando on the harp", Harp, false, passage{bpm: 80, voices: []string{
			"C4/.1 D4/.1 E4/.1 F4/.1 G4/.1 A4/.1 B4/.1 C5/.1 D5/.1 E5/1"}}, "1+0 down, 5+387 up"},
		{"slow roll into another harmony", Piano, false, passage{bpm: 60, voices: []string{"C3+E4+G4/1 F3/.08 A3/.08 C4/.08 F4/1"}},
			"1+100 down, 2+130 up, 2+290 down, 4+190 up"},
		{"short chords not marked staccato", Piano, false, passage{bpm: 60, causal: true, voices: []string{"C3+E4+G4/.05 -/.95 F3+A4+C5/.05"}}, ""},
		{"ornament over a chord in the pedal", Piano, false, passage{bpm: 60, voices: []string{"C3+E4+G4/.9", "-/.92 F4/.08 E4/1"}},
			"1+77 down, 2+50 up, 2+150 down, 3+950 up"},
		{"broken chords over a bass that stays", Piano, false, passage{bpm: 90, voices: []string{
			"C4/.25 G4/.25 E4/.25 G4/.25 C4/.25 A4/.25 F4/.25 A4/.25 C4/.25 G4/.25 E4/.25 G4/.25"}},
			"1+383 down, 2+348 up, 2+408 down, 3+181 up, 3+241 down, 4+658 up"},
		{"bass step joined to the one before", Piano, false, passage{bpm: 60, voices: []string{"C3+E4+G4+C5/1.1", "-/1 D3+E4+G4+C5/1"}},
			"1+77 down, 2+100 up, 2+300 down, 3+950 up"},
		{"harp", Harp, false, passage{bpm: 90, voices: []string{
			"C3/.5 E3/.5 G3/.5 C4/.5 E4/.5 G4/.5 F3/.5 A3/.5 C4/.5 F4/.5 A4/.5 C5/.5 C3+G3+E4/2"}},
			"1+0 down, 4+0 up, 4+60 down, 7+0 up, 7+60 down, 11+600 up"},
		{"harp scale", Harp, false, passage{bpm: 60, voices: []string{
			"C4/.25 D4/.25 E4/.25 F4/.25 G4/.25 A4/.25 B4/.25 C5/.25 F3+A3+C4/1"}},
			"1+0 down, 3+0 up, 3+60 down, 5+950 up"},
		{"celesta", Celesta, false, passage{bpm: 60, voices: []string{"C4+E4+G4/1 A3+C4+E4/1 F4+A4+C5/1"}},
			"1+100 down, 3+100 up, 3+300 down, 4+950 up"},
		{"vibraphone", Vibraphone, false, passage{bpm: 120, voices: []string{"C4/1 D4/1 E4/1 G4/1 F4+A4+C5/2 G4+B4+D5/2"}},
			"1+0 down, 2+70 up, 2+212 down, 3+70 up, 3+212 down, 5+100 up, 5+300 down, 7+100 up, 7+300 down, 9+450 up"},
		{"vibraphone with half", Vibraphone, true, passage{bpm: 120, voices: []string{"C4/1 D4/1 E4/1 G4/1 F4+A4+C5/2 G4+B4+D5/2"}},
			"1+0 half, 5+100 up, 5+300 down, 7+100 up, 7+300 down, 9+450 up"},
		{"none", None, true, passage{bpm: 60, voices: progression}, ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			actions, _ := test.p.play(t, New(test.kind, test.half, 1))
			if got := test.p.words(actions); got != test.want {
				t.Errorf("the foot goes\n%s, want\n%s", got, test.want)
			}
		})
	}
}

func TestOff(t *testing.T) {
	p := passage{bpm: 60, voices: []string{"C3+E3+G3/1 F3+A3+C4/1"}}
	for _, k := range []float64{0, -1, math.NaN(), math.Inf(-1)} {
		if actions, _ := p.play(t, New(Piano, true, k)); len(actions) > 0 {
			t.Errorf("k %v: the foot goes %s", k, p.words(actions))
		}
	}
	if actions, _ := p.play(t, New(200, true, 1)); len(actions) > 0 {
		t.Error("an unknown kind has a foot")
	}
}

// A foot that puts up with more changes less.
func TestKPutsUpWithMore(t *testing.T) {
	p := passage{bpm: 80, voices: []string{"C3+G3+E4/1 -/5 C3+G3+E4/1", "^C5/1 ^B4/1 ^C5/1 ^D5/1 ^E5/1 ^F5/1 ^E5/1"}}
	last := math.MaxInt
	var counts []int
	for _, k := range []float64{0.25, 1, 2} {
		actions, _ := p.play(t, New(Piano, false, k))
		if len(actions) > last {
			t.Errorf("k %v: %d movements, more than %d with less", k, len(actions), last)
		}
		last = len(actions)
		counts = append(counts, last)
	}
	if counts[0] == counts[2] {
		t.Errorf("k changes nothing: %v", counts)
	}
}

// In a quick scale in the low or middle register the pedal never holds two neighbours together.
func TestScaleIsNotBlurred(t *testing.T) {
	up := "C/.5 D/.5 E/.5 F/.5 G/.5 A/.5 B/.5 "
	for _, octave := range []string{"2", "3", "4"} {
		line := strings.ReplaceAll(up, "/", octave+"/")
		for _, bpm := range []float64{130, 160, 200} {
			for _, causal := range []bool{false, true} {
				for _, tail := range []string{"", "-/4 ", "C6/2"} {
					p := passage{bpm: bpm, voices: []string{line + tail}, causal: causal}
					actions, notes := p.play(t, New(Piano, false, 1))
					for pair := range together(actions, notes) {
						if pair[1]-pair[0] <= 2 {
							t.Errorf("octave %s at %v, causal %v: the pedal holds %v: %s", octave, bpm, causal, pair, p.words(actions))
						}
					}
				}
			}
		}
	}
	// The measure finds what it is to find.
	p := passage{bpm: 160, voices: []string{"C4/1 D4/1"}}
	if !together([]action{{300 * ms, 1}}, p.notes(t))[[2]int{60, 62}] {
		t.Error("a pedal held through two notes is not found to hold them together")
	}
}

// A chord has exactly one change, within the windows, at all tempos, and later in slower
// ones but less than in proportion (Repp 1997).
func TestChordsByTempo(t *testing.T) {
	var lastLift, lastPress time.Duration
	lastBeat := time.Duration(0)
	for _, bpm := range []float64{200, 160, 120, 90, 60, 40, 25} {
		p := passage{bpm: bpm, voices: []string{"C3+E4+G4+C5/1 F3+F4+A4+C5/1 G3+D4+G4+B4/1 C3+E4+G4+C5/1"}}
		actions, notes := p.play(t, New(Piano, false, 1))
		if len(actions) != 8 {
			t.Fatalf("at %v: %s", bpm, p.words(actions))
		}
		beat := notes[4].on
		for i := 1; i < 4; i++ {
			onset := notes[4*i].on
			lift, press := actions[2*i-1], actions[2*i]
			after, again := lift.at-onset, press.at-lift.at
			if lift.depth != 0 || press.depth != 1 || after < minLift || after > maxLift || again < minRepress || again > maxRepress ||
				press.at-onset > notes[4*i].length*6/10 {
				t.Errorf("at %v, chord %d: up %v after it, down %v later", bpm, i+1, after, again)
			}
			if i > 1 {
				continue
			}
			if after < lastLift || again < lastPress {
				t.Errorf("at %v: up after %v and down after %v, sooner than in quicker music: %v, %v", bpm, after, again, lastLift, lastPress)
			}
			if lastBeat > 0 && (float64(after)/float64(lastLift) >= float64(beat)/float64(lastBeat) || float64(again)/float64(lastPress) >= float64(beat)/float64(lastBeat)) {
				t.Errorf("at %v: in proportion to the beat", bpm)
			}
			lastLift, lastPress, lastBeat = after, again, beat
		}
	}
}

// Harmony knows no absolute pitch: roughness and registers aside, any transposition has the same pedal.
func TestTransposition(t *testing.T) {
	for _, voices := range [][]string{
		{"C3+E4+G4+C5/1 F3+F4+A4+C5/1 G3+D4+G4+B4/1 G3+D4+F4+B4/1 C3+E4+G4+C5/1"},
		{"C3/.25 G3/.25 E3/.25 G3/.25 D3/.25 G3/.25 F3/.25 G3/.25 C3/.25 G3/.25 E3/.25 G3/.25"},
	} {
		want, _ := passage{bpm: 90, voices: voices}.play(t, New(Piano, false, 1))
		if len(want) < 4 {
			t.Fatalf("the foot hardly moves: %v", want)
		}
		for up := -5; up <= 6; up++ {
			got, _ := passage{bpm: 90, voices: voices, up: up}.play(t, New(Piano, false, 1))
			if !slices.Equal(got, want) {
				t.Errorf("%d semitones up: %v, want %v", up, got, want)
			}
		}
	}
}

// The notation's pedal wins, until it has been silent for eight seconds.
func TestMarked(t *testing.T) {
	p := New(Piano, false, 1)
	chord := func(at time.Duration) {
		for _, key := range []int{48, 64, 67} {
			p.Note(at, key, 64, Unknown, Unknown, false, false)
		}
	}
	release := func(at time.Duration) {
		for _, key := range []int{48, 64, 67} {
			p.Off(at, key)
		}
	}
	want := func(until, at time.Duration, depth float64) {
		t.Helper()
		a, d, ok := p.Pull(until)
		if !ok || a != at || d != depth {
			t.Fatalf("pulled %v %v %v, want %v %v", a, d, ok, at, depth)
		}
	}
	none := func(until time.Duration) {
		t.Helper()
		if at, depth, ok := p.Pull(until); ok {
			t.Fatalf("the foot moves to %v at %v", depth, at)
		}
	}
	chord(0)
	p.Pull(10 * ms)
	first, _, _ := legato(usualPace, Unknown)
	want(time.Second, first, 1)
	p.Marked(time.Second, true)
	want(time.Second, time.Second, 0)
	release(1200 * ms)
	chord(1200 * ms)
	none(3 * time.Second)
	if at, ok := p.Next(); ok {
		t.Errorf("something is planned at %v under the notation's pedal", at)
	}
	p.Marked(3*time.Second, false)
	release(4 * time.Second)
	chord(10*time.Second + 999*ms)
	none(11*time.Second + 500*ms)
	release(11*time.Second + 500*ms)
	chord(12 * time.Second)
	if at, ok := p.Next(); !ok || at < 12*time.Second {
		t.Error("the planner does not come back")
	}
}

func TestReset(t *testing.T) {
	p := New(Piano, false, 1)
	for _, key := range []int{48, 64, 67} {
		p.Note(0, key, 64, Unknown, Unknown, false, false)
	}
	if _, depth, ok := p.Pull(time.Second); !ok || depth != 1 {
		t.Fatal("the foot does not go down")
	}
	p.Note(time.Second, 72, 64, Unknown, Unknown, true, false) // it lifts, and waits to be pulled
	p.Off(1100*ms, 72)
	if at, ok := p.Next(); !ok || at != time.Second {
		t.Errorf("the lift at 1s is said to be at %v", at)
	}
	p.Pull(time.Second)
	for _, key := range []int{48, 64, 67} {
		p.Off(1200*ms, key)
		p.Note(1200*ms, key, 64, Unknown, Unknown, false, false)
	}
	if _, depth, ok := p.Pull(2 * time.Second); !ok || depth != 1 {
		t.Fatal("the foot does not go down again")
	}
	p.Reset(3 * time.Second)
	if at, depth, ok := p.Pull(3 * time.Second); !ok || at != 3*time.Second || depth != 0 {
		t.Errorf("after a reset: %v %v %v", at, depth, ok)
	}
	if at, ok := p.Next(); ok {
		t.Errorf("after a reset something is planned at %v", at)
	}
}

// How soon the foot acts in chords of many paces, for the record; see TestChordsByTempo
// for the bounds of each.
func TestDelays(t *testing.T) {
	var lifts, presses []time.Duration
	for bpm := 30.0; bpm <= 200; bpm += 5 {
		p := passage{bpm: bpm, causal: true, voices: []string{"C3+E4+G4/1 F3+F4+A4/2 D3+F4+A4/1 G3+D4+B4/1 G2+D4+F4/2 C3+E4+G4/1 A2+E4+A4/1"}}
		actions, notes := p.play(t, New(Piano, false, 1))
		for i := 1; i+1 < len(actions); i += 2 {
			var onset time.Duration
			for _, n := range notes {
				if n.on <= actions[i].at {
					onset = n.on
				}
			}
			lifts = append(lifts, actions[i].at-onset)
			presses = append(presses, actions[i+1].at-actions[i].at)
		}
	}
	if len(lifts) < 100 {
		t.Fatalf("only %d changes", len(lifts))
	}
	for _, d := range []struct {
		name        string
		all         []time.Duration
		least, most time.Duration
	}{{"up after the onset", lifts, minLift, maxLift}, {"down again", presses, minRepress, maxRepress}} {
		slices.Sort(d.all)
		n := len(d.all)
		t.Logf("%s: %d changes, least %v, quartiles %v %v %v, most %v", d.name, n, d.all[0], d.all[n/4], d.all[n/2], d.all[3*n/4], d.all[n-1])
		if d.all[0] < d.least || d.all[n-1] > d.most {
			t.Errorf("%s: %v to %v, want within %v and %v", d.name, d.all[0], d.all[n-1], d.least, d.most)
		}
	}
}
