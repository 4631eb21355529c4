package voices

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"
)

// The written passages: who has the tune at each moment, from the first on, and once
// two bars have been heard. The floors are what was measured, less a little.
func TestWhoHasTheTune(t *testing.T) {
	floors := map[string][2]float64{
		"tenor melody under arpeggios": {94, 100},
		"fugato":                       {90, 90},
		"tremolo over a bass tune":     {94, 100},
		"tune handed on":               {88, 84},
	}
	for _, p := range passages() {
		answers := p.listen(NewEnsemble(p.parts))
		floor, ok := floors[p.name]
		if !ok {
			floor = [2]float64{100, 100}
		}
		for i, from := range []time.Duration{0, 8 * beat} {
			right, all := accuracy(answers, from)
			got := percent(right, all)
			t.Logf("%-30s from beat %d: %5.1f %% of %d moments", p.name, from/beat, got, all)
			if all == 0 || got < floor[i] {
				t.Errorf("%s from beat %d: %.1f %% of %d moments are right, want %.0f %%", p.name, from/beat, got, all, floor[i])
			}
		}
	}
}

// Random textures, of other seeds than those the weights were found on.
func TestWhoHasTheTuneInRandomMusic(t *testing.T) {
	floors := map[string]float64{
		"melody over figures": 98, "melody beneath figures": 90, "bass tune": 86, "oom-pah, tune among": 93, "solo over pad": 88,
		"doubled tune": 95, "chorale": 99, "tune handed on": 82, "fugato": 95,
	}
	for _, kind := range kinds {
		right, all := 0, 0
		for seed := range uint64(100) {
			p := random(kind, 1000+seed)
			r, n := accuracy(p.listen(NewEnsemble(p.parts)), 0)
			right, all = right+r, all+n
		}
		got := percent(right, all)
		t.Logf("%-24s %5.1f %% of %d moments", kind, got, all)
		if all == 0 || got < floors[kind] {
			t.Errorf("%s: %.1f %% of %d moments are right, want %.0f %%", kind, got, all, floors[kind])
		}
	}
}

// Each entry of a fugato has the tune when its fourth note has been heard.
func TestEntriesHaveTheTune(t *testing.T) {
	p := passages()[3]
	for _, a := range p.listen(NewEnsemble(p.parts)) {
		for part, from := range map[int]float64{1: 0, 0: 8, 2: 16} {
			if b := float64(a.at) / float64(beat); b >= from+2 && b < from+6 && a.tune != part {
				t.Errorf("beat %.2f: part %d has the tune, want %d", b, a.tune, part)
			}
		}
	}
}

// Parts that double each other are equally salient.
func TestDoublingSharesTheTune(t *testing.T) {
	p := passages()[6]
	n := 0
	for _, a := range p.listen(NewEnsemble(p.parts)) {
		if a.at >= 4*beat && len(a.want) == 2 {
			n++
			if a.all[0] != a.all[1] || a.all[0] < 0.5 {
				t.Errorf("beat %.2f: saliences %.3f and %.3f", float64(a.at)/float64(beat), a.all[0], a.all[1])
			}
		}
	}
	if n < 20 {
		t.Fatalf("only %d moments", n)
	}
}

// The same music gives the same answers in another key, at another tempo, with other
// numbers of parts.
func TestEquivariance(t *testing.T) {
	all := passages()
	for _, kind := range kinds {
		for seed := range uint64(5) {
			p := random(kind, seed)
			for i := range p.sounds { // on the grid, that times can be halved
				p.sounds[i].at &^= 7
				p.sounds[i].length &^= 7
			}
			all = append(all, p)
		}
	}
	for _, p := range all {
		want := p.listen(NewEnsemble(p.parts))
		alter := func(name string, change func(*sound), number func(int) int, scale float64) {
			q := p
			q.sounds = slices.Clone(p.sounds)
			for i := range q.sounds {
				change(&q.sounds[i])
			}
			got := q.listen(NewEnsemble(q.parts))
			if len(got) != len(want) {
				t.Fatalf("%s, %s: %d moments, want %d", p.name, name, len(got), len(want))
			}
			for i := range got {
				if got[i].tune != number(want[i].tune) {
					t.Errorf("%s, %s: at %v part %d has the tune, want %d", p.name, name, got[i].at, got[i].tune, number(want[i].tune))
					return
				}
				if scale == 1 && math.Abs(got[i].salience-want[i].salience) > 1e-9 {
					t.Errorf("%s, %s: at %v salience %v, want %v", p.name, name, got[i].at, got[i].salience, want[i].salience)
					return
				}
			}
		}
		same := func(part int) int { return part }
		alter("an octave higher", func(s *sound) { s.key += 12 }, same, 1)
		alter("a tone lower", func(s *sound) { s.key -= 2 }, same, 1)
		alter("half as fast", func(s *sound) { s.at *= 2; s.length *= 2 }, same, 2)
		if p.parts > 0 && gaps(p) > 2*Together {
			alter("twice as fast", func(s *sound) { s.at /= 2; s.length /= 2 }, same, 2)
		}
		order := rand.New(rand.NewPCG(3, 4)).Perm(p.parts)
		alter("renumbered", func(s *sound) { s.part = order[s.part] }, func(part int) int {
			if part < 0 {
				return part
			}
			return order[part]
		}, 1)
	}
}

// gaps is the least time between moments.
func gaps(p piece) time.Duration {
	least := time.Hour
	for i := 1; i < len(p.sounds); i++ {
		if d := p.sounds[i].at - p.sounds[i-1].at; d > 0 {
			least = min(least, d)
		}
	}
	return least
}

// Of two parts that play the same kind of line, the louder marked has the tune.
func TestMarkedDynamic(t *testing.T) {
	for _, loud := range []int{0, 1} {
		e := NewEnsemble(2)
		e.Level(loud, 4)
		e.Level(1-loud, -8)
		p := passages()[1] // soprano and alto of the chorale
		p.parts = 2
		p.sounds = slices.DeleteFunc(slices.Clone(p.sounds), func(s sound) bool { return s.part > 1 })
		answers := p.listen(e)
		if got := answers[len(answers)-1].tune; got != loud {
			t.Errorf("part %d has the tune, want the louder, %d", got, loud)
		}
	}
}

func TestWeigh(t *testing.T) {
	p := passages()[0]
	e := NewEnsemble(2)
	e.Weigh(0, 0)
	answers := p.listen(e)
	last := answers[len(answers)-1]
	if last.tune != 1 || last.all[0] > 0.01 {
		t.Errorf("a part of weight 0 has salience %.3f, and part %d the tune", last.all[0], last.tune)
	}
}

func TestSalienceFades(t *testing.T) {
	e := NewEnsemble(2)
	for i, key := range []int{67, 69, 71, 67, 72, 71, 69, 74} {
		at := time.Duration(i) * beat
		e.Note(0, at, key, 80)
		e.Off(0, at+beat/2)
	}
	held := e.Salience(0, 7*beat)
	silent := e.Salience(0, 30*beat)
	if !(held > 0.5 && silent < held/10) {
		t.Errorf("salience %.3f while it plays, %.3f long after", held, silent)
	}
	if got := e.Salience(1, 7*beat); got != 0 {
		t.Errorf("a part that was never heard has salience %v", got)
	}
}

func TestNothingHeard(t *testing.T) {
	for _, parts := range []int{-1, 0, 3} {
		e := NewEnsemble(parts)
		e.Note(parts, 0, 60, 80)
		e.Note(-1, 0, 60, 80)
		e.Off(7, 0)
		e.Weigh(9, 2)
		e.Level(9, 2)
		if part, s := e.Tune(time.Second); part != -1 || s != 0 {
			t.Errorf("of %d parts, part %d has the tune at %v, want none", parts, part, s)
		}
	}
}

func TestResetForgets(t *testing.T) {
	p := passages()[3]
	e := NewEnsemble(p.parts)
	want := p.listen(e)
	e.Reset()
	if got := p.listen(e); !reflect.DeepEqual(got, want) {
		t.Error("after a reset the same music gives other answers")
	}
}
