package pedalling

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// A passage is written in musical words: voices of notes "C3+E3+G3/2", which are keys and
// beats, "-/1" for a rest. A dot after the beats is staccato, a caret before the keys the melody.
type passage struct {
	bpm    float64
	voices []string
	causal bool // lengths are not known
	up     int  // transposition in semitones
}

// played is one note of a passage.
type played struct {
	on, length, next time.Duration // next is Unknown after the last of a voice
	key              int
	staccato, melody bool
}

// sounding is the part of a note's written length that it sounds: keys part just before the next.
const sounding = 0.95

func (p passage) notes(t testing.TB) (all []played) {
	t.Helper()
	beat := time.Duration(60 / p.bpm * float64(time.Second))
	for _, voice := range p.voices {
		var at, last time.Duration
		var before []int // indexes of the group before
		for _, word := range strings.Fields(voice) {
			names, beats, ok := strings.Cut(word, "/")
			beats, staccato := strings.CutSuffix(beats, ".")
			names, melody := strings.CutPrefix(names, "^")
			n, err := strconv.ParseFloat(beats, 64)
			if !ok || err != nil {
				t.Fatalf("%q is no note", word)
			}
			length := time.Duration(n * float64(beat))
			if names != "-" {
				for _, i := range before {
					all[i].next = at - last
				}
				before, last = before[:0], at
				share := sounding
				if staccato {
					share = 0.4 // of the time to the next: Bresin and Battel 2000 (SEEN)
				}
				for name := range strings.SplitSeq(names, "+") {
					before = append(before, len(all))
					all = append(all, played{on: at, length: time.Duration(share * float64(length)), next: Unknown,
						key: keyOf(t, name) + p.up, staccato: staccato, melody: melody})
				}
			}
			at += length
		}
	}
	slices.SortStableFunc(all, func(a, b played) int { return cmp.Compare(a.on, b.on) })
	if len(all) == 0 {
		t.Fatal("the passage has no notes")
	}
	return all
}

func keyOf(t testing.TB, name string) int {
	t.Helper()
	step := strings.IndexByte("C D EF G A B", name[0])
	octave, err := strconv.Atoi(strings.TrimLeft(name[1:], "#b"))
	if step < 0 || err != nil {
		t.Fatalf("%q is no key", name)
	}
	return 12*(octave+1) + step + strings.Count(name, "#") - strings.Count(name[1:], "b")
}

// play has a planner pedal a passage, and gives its actions and the notes.
func (p passage) play(t testing.TB, planner *Planner) ([]action, []played) {
	t.Helper()
	notes := p.notes(t)
	planner.Beat(time.Duration(60 / p.bpm * float64(time.Second)))
	return perform(planner, notes, p.causal), notes
}

// perform tells a planner of notes and pulls at every onset and end, and long after.
func perform(planner *Planner, notes []played, causal bool) (all []action) {
	type end struct {
		at  time.Duration
		key int
	}
	var ends []end
	for _, n := range notes {
		ends = append(ends, end{n.on + n.length, n.key})
	}
	slices.SortStableFunc(ends, func(a, b end) int { return cmp.Compare(a.at, b.at) })
	pull := func(until time.Duration) {
		for at, depth, ok := planner.Pull(until); ok; at, depth, ok = planner.Pull(until) {
			all = append(all, action{at, depth})
		}
	}
	for len(notes)+len(ends) > 0 {
		if len(notes) == 0 || ends[0].at <= notes[0].on {
			pull(ends[0].at - 1)
			planner.Off(ends[0].at, ends[0].key)
			ends = ends[1:]
			continue
		}
		n := notes[0]
		notes = notes[1:]
		pull(n.on - 1)
		length, next := n.length, n.next
		if causal {
			length, next = Unknown, Unknown
		}
		planner.Note(n.on, n.key, 64, length, next, n.staccato, n.melody)
	}
	pull(time.Hour)
	return all
}

// words are actions as a reader of the score counts: beats from 1, and the milliseconds after.
func (p passage) words(actions []action) string {
	beat := time.Duration(60 / p.bpm * float64(time.Second))
	var s []string
	for _, a := range actions {
		what := map[float64]string{0: "up", 0.5: "half", 1: "down"}[a.depth]
		s = append(s, fmt.Sprintf("%d+%d %s", a.at/beat+1, (a.at%beat).Milliseconds(), what))
	}
	return strings.Join(s, ", ")
}

// together are the pairs of keys that the pedal has sounding together, the lower first: struck
// since it was last up, or held when it came down.
func together(actions []action, notes []played) map[[2]int]bool {
	pairs := map[[2]int]bool{}
	for i, a := range actions {
		if a.depth == 0 {
			continue
		}
		until := time.Duration(1 << 62)
		if i+1 < len(actions) {
			until = actions[i+1].at
		}
		var caught []int
		for _, n := range notes {
			if n.on < until && n.on+n.length > a.at {
				caught = append(caught, n.key)
			}
		}
		for _, x := range caught {
			for _, y := range caught {
				if x < y {
					pairs[[2]int{x, y}] = true
				}
			}
		}
	}
	return pairs
}
