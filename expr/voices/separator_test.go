package voices

import (
	"testing"
)

// separate plays a piece on one channel and returns the place of every note, as it is
// when its moment is over.
func (p *piece) separate(s *Separator) []Place {
	ids := make([]int64, len(p.sounds))
	places := make([]Place, len(p.sounds))
	for _, ev := range p.events() {
		n := p.sounds[ev.note]
		if ev.on {
			s.Settle(ev.at)
			_, ids[ev.note] = s.Note(ev.at, n.key, n.velocity)
		} else {
			s.Off(ev.at, n.key)
		}
		for i := max(0, ev.note-40); i <= ev.note; i++ {
			if place, ok := s.VoiceOf(ids[i]); ok {
				places[i] = place
			}
		}
	}
	return places
}

// score is how well voices and roles were found.
type score struct {
	links, linked  int // notes that follow one of their part, and are in its voice
	tunes, found   int // notes of the tune, and those taken for it
	claims, rights int // notes taken for the tune, and those of it
}

func (p *piece) judge(places []Place) (s score) {
	last := map[int]int{}
	for i, n := range p.sounds {
		if j, ok := last[n.part]; ok && p.sounds[j].at != n.at {
			s.links++
			s.linked += int(truth(places[i].Voice == places[j].Voice))
		}
		last[n.part] = i
		if places[i].Role == Alone {
			continue
		}
		tune := n.tune
		melody := places[i].Role == Melody
		s.tunes += int(truth(tune))
		s.found += int(truth(tune && melody))
		s.claims += int(truth(melody))
		s.rights += int(truth(tune && melody))
	}
	return s
}

func (s *score) add(o score) {
	s.links += o.links
	s.linked += o.linked
	s.tunes += o.tunes
	s.found += o.found
	s.claims += o.claims
	s.rights += o.rights
}

func percent(n, of int) float64 { return 100 * float64(n) / float64(max(of, 1)) }

func TestSeparate(t *testing.T) {
	for _, p := range passages() {
		s := p.judge(p.separate(NewSeparator()))
		t.Logf("%-32s links %5.1f %%  tune found %5.1f %%  right %5.1f %%", p.name, percent(s.linked, s.links), percent(s.found, s.tunes), percent(s.rights, s.claims))
	}
	for _, kind := range kinds {
		var all score
		for seed := range uint64(100) {
			p := random(kind, seed)
			all.add(p.judge(p.separate(NewSeparator())))
		}
		t.Logf("%-32s links %5.1f %%  tune found %5.1f %%  right %5.1f %%", kind, percent(all.linked, all.links), percent(all.found, all.tunes), percent(all.rights, all.claims))
	}
}
