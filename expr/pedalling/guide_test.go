package pedalling

import (
	"slices"
	"testing"
	"time"
)

// advised plays notes at the beats of a second, each so advised, and returns what the foot does.
func advised(t *testing.T, half bool, advice []Advice, chords ...[]int) (all []action) {
	t.Helper()
	p := New(Piano, half, 1)
	for i, chord := range chords {
		at := time.Duration(i) * time.Second
		for _, key := range chord {
			p.Advise(advice[i])
			p.Note(at, key, 64, 900*ms, time.Second, false, false)
		}
		for _, key := range chord {
			p.Off(at+900*ms, key)
		}
		for {
			at, depth, ok := p.Pull(at + 999*ms)
			if !ok {
				break
			}
			all = append(all, action{at, depth})
		}
	}
	return all
}

// An advice rules: the foot goes where it says at the time at which pianists were measured to go.
func TestFootFollowsAdvice(t *testing.T) {
	const up, down, lets, catches = Advised, Advised | DownAt | DownAfter, Advised | DownAt, Advised | DownAfter
	chord := []int{48, 64, 67, 72}
	for _, test := range []struct {
		name   string
		advice []Advice
		want   []action
	}{
		{"stays up", []Advice{up, up, up}, nil},
		{"stays down", []Advice{down, down, down}, []action{{0, 1}}},
		{"changes", []Advice{down, catches, up}, []action{{0, 1}, {1010 * ms, 0}, {1150 * ms, 1}, {2010 * ms, 0}}},
		{"lets go on the way", []Advice{down, lets, up}, []action{{0, 1}, {1500 * ms, 0}}},
	} {
		got := advised(t, false, test.advice, chord, chord, chord)
		if len(got) != len(test.want) {
			t.Errorf("%s: the foot does %v, want %v", test.name, got, test.want)
			continue
		}
		for i := range got {
			if got[i] != test.want[i] {
				t.Errorf("%s: the foot does %v, want %v", test.name, got, test.want)
			}
		}
	}
}

// No advice has a harmony run into another where that is muddy.
func TestAdviceClearsMud(t *testing.T) {
	down := Advised | DownAt | DownAfter
	got := advised(t, false, []Advice{down, down}, []int{36, 48, 52, 55}, []int{38, 50, 53, 57})
	if len(got) != 3 || got[1].depth != 0 || got[2].depth != 1 {
		t.Errorf("the foot does %v, want it changed with the harmony", got)
	}
}

// What is heard takes a chord as one moment, and forgets with a reset.
func TestEarAdvises(t *testing.T) {
	var e Ear
	e.Reset()
	first := e.Note(0, 48)
	for i := range 200 {
		at := time.Duration(i) * 300 * ms
		for _, key := range []int{40 + i%12, 64, 67} {
			if a := e.Note(at, key); a&Advised == 0 {
				t.Fatal("no advice")
			}
		}
		for _, key := range []int{40 + i%12, 64, 67} {
			e.End(at+250*ms, key)
		}
	}
	e.Reset()
	if again := e.Note(0, 48); again != first {
		t.Errorf("after a reset the advice is %v, at first it was %v", again, first)
	}
	if n := testing.AllocsPerRun(100, func() { e.Note(time.Minute, 50) }); n != 0 {
		t.Errorf("%v allocations a note", n)
	}
}

// A chord whose notes stray is one chord to the foot, however far they do.
func TestFootTakesStrayingNotesTogether(t *testing.T) {
	const catches = Advised | DownAfter
	for _, apart := range []time.Duration{0, 25 * ms, 50 * ms} {
		p := New(Piano, false, 1)
		var got []action
		for i := range 3 {
			on := time.Duration(i+1) * time.Second
			for k, key := range []int{48, 64, 67, 72} {
				at := on + time.Duration(k-1)*apart
				for a, depth, ok := p.Pull(at - 1); ok; a, depth, ok = p.Pull(at - 1) {
					got = append(got, action{a, depth})
				}
				p.Advise(catches)
				p.Begins(on)
				p.Note(at, key, 64, 900*ms, time.Second, false, false)
			}
		}
		want := []action{{1150 * ms, 1}, {2010 * ms, 0}, {2150 * ms, 1}, {3010 * ms, 0}}
		for a, depth, ok := p.Pull(3100 * ms); ok; a, depth, ok = p.Pull(3100 * ms) {
			got = append(got, action{a, depth})
		}
		if !slices.Equal(got, want) {
			t.Errorf("notes %v apart: the foot does %v, want %v", apart, got, want)
		}
	}
}
