package voices

import (
	"testing"
	"time"
)

func TestWhoHasTheTune(t *testing.T) {
	for _, p := range passages() {
		e := NewEnsemble(p.parts)
		answers := p.listen(e)
		r, n := accuracy(answers, 0)
		r2, n2 := accuracy(answers, 8*beat)
		t.Logf("%-32s %5.1f %% of %d moments, %5.1f %% from bar 3", p.name, 100*float64(r)/float64(n), n, 100*float64(r2)/float64(n2))
		if testing.Verbose() {
			for i, a := range answers {
				if i%8 == 7 {
					t.Logf("    %6.2f tune %d want %v %.2f", float64(a.at)/float64(beat), a.tune, a.want, a.all)
				}
			}
		}
	}
}

func TestRandom(t *testing.T) {
	for _, kind := range kinds {
		r, n, r2, n2 := 0, 0, 0, 0
		for seed := range uint64(100) {
			p := random(kind, seed)
			e := NewEnsemble(p.parts)
			a := p.listen(e)
			x, y := accuracy(a, 0)
			r, n = r+x, n+y
			x, y = accuracy(a, 4*time.Second)
			r2, n2 = r2+x, n2+y
		}
		t.Logf("%-24s %5.1f %%  %5.1f %%", kind, 100*float64(r)/float64(n), 100*float64(r2)/float64(n2))
	}
}
