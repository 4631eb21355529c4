package voices

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
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

// measure is a score in per cent.
func (s *score) measure() [3]float64 {
	return [3]float64{percent(s.linked, s.links), percent(s.found, s.tunes), percent(s.rights, s.claims)}
}

// All parts of a passage on one channel: how many notes stay in the voice of their
// part, how much of the tune is found, and how much of what is taken for it is. What
// one keyboard or section would not play (parts of a string pad that cross a solo, a
// tune doubled in octaves, of which one can be the melody) is left out.
func TestSeparate(t *testing.T) {
	floors := map[string][3]float64{
		"melody over Alberti bass":     {99, 99, 99},
		"chorale":                      {90, 99, 99},
		"tenor melody under arpeggios": {95, 96, 83},
		"fugato":                       {99, 88, 85},
		"oom-pah, tune in the cello":   {94, 93, 96},
		"oom-pah, tune in the horn":    {94, 93, 96},
		"tremolo over a bass tune":     {99, 96, 71},
		"tune handed on":               {95, 74, 62},
	}
	n := 0
	for _, p := range passages() {
		floor, ok := floors[p.name]
		if !ok {
			continue
		}
		n++
		s := p.judge(p.separate(NewSeparator()))
		compare(t, p.name, s.measure(), floor)
	}
	if n != len(floors) {
		t.Errorf("%d passages were played, want %d", n, len(floors))
	}
}

func compare(t *testing.T, name string, got, floor [3]float64) {
	t.Helper()
	t.Logf("%-28s in voice %5.1f %%, tune found %5.1f %%, rightly %5.1f %%", name, got[0], got[1], got[2])
	for i := range got {
		if got[i] < floor[i] {
			t.Errorf("%s: %.1f, want at least %.0f", name, got, floor)
			return
		}
	}
}

func TestManyRandomVoices(t *testing.T) {
	floors := map[string][3]float64{
		"melody over figures":    {86, 88, 84},
		"melody beneath figures": {95, 82, 50},
		"chorale":                {99, 98, 98},
		"fugato":                 {92, 70, 70},
		"tune handed on":         {80, 68, 50},
		"bass tune":              {84, 64, 48},
		"oom-pah, tune among":    {68, 40, 48},
	}
	for _, kind := range kinds {
		floor, ok := floors[kind]
		if !ok {
			continue
		}
		var all score
		for seed := range uint64(100) {
			p := random(kind, 1000+seed)
			all.add(p.judge(p.separate(NewSeparator())))
		}
		compare(t, kind, all.measure(), floor)
	}
}

// A chord's notes get the same places in whatever order they come.
func TestOrderWithinAMoment(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	chords := [][]int{{48, 64, 67, 72}, {43, 62, 67, 71}, {48, 60, 64, 76}, {45, 60, 64, 69}, {41, 60, 65, 69}, {48, 55, 64, 72}}
	play := func(shuffle bool) (places [][]Place) {
		s := NewSeparator()
		for i, chord := range chords {
			at := time.Duration(i) * beat
			ids := make([]int64, len(chord))
			order := []int{0, 1, 2, 3}
			if shuffle {
				rng.Shuffle(4, func(i, j int) { order[i], order[j] = order[j], order[i] })
			}
			for n, j := range order {
				_, ids[j] = s.Note(at+time.Duration(n)*time.Millisecond, chord[j], 80)
			}
			moment := make([]Place, len(chord))
			for j, id := range ids {
				moment[j], _ = s.VoiceOf(id)
			}
			places = append(places, moment)
			for _, key := range chord {
				s.Off(at+beat-20*time.Millisecond, key)
			}
		}
		return places
	}
	roles := func(places [][]Place) (all []Role) {
		for _, m := range places {
			for _, p := range m {
				all = append(all, p.Role)
			}
		}
		return all
	}
	want := play(false)
	first := want[0]
	for i, m := range want {
		for j := range m {
			if m[j].Voice != first[j].Voice {
				t.Errorf("chord %d: note %d is in voice %d, began in %d", i, j, m[j].Voice, first[j].Voice)
			}
		}
	}
	for range 20 {
		got := play(true)
		if !slices.Equal(roles(got), roles(want)) {
			t.Fatalf("roles %v, want %v", roles(got), roles(want))
		}
	}
}

// A line whose notes overlap under a slur is one voice, whatever comes first.
func TestSlursAreOneVoice(t *testing.T) {
	s := NewSeparator()
	scale := []int{60, 62, 64, 65, 67, 69, 71, 72}
	ids := make([]int64, len(scale))
	for i, key := range scale {
		at := time.Duration(i) * beat
		_, ids[i] = s.Note(at, key, 80)
		if i > 0 {
			s.Off(at+30*time.Millisecond, scale[i-1])
		}
	}
	for i, id := range ids {
		if p, ok := s.VoiceOf(id); !ok || p.Voice != 0 {
			t.Errorf("note %d is in voice %d, want 0", i, p.Voice)
		} else if i > 1 && (p.Role != Alone || p.Voices != 1) {
			t.Errorf("note %d is %d of %d voices, want alone", i, p.Role, p.Voices)
		}
	}
}

// Once slurs were heard, a note that is held under a moving line is a voice again.
func TestHeldNoteAfterSlurs(t *testing.T) {
	s := NewSeparator()
	s.Note(0, 60, 80)
	s.Note(beat, 62, 80)
	s.Off(beat+30*time.Millisecond, 60)
	var last int64
	for i, key := range []int{67, 69, 71, 72} {
		_, last = s.Note(time.Duration(2+i)*beat, key, 80) // 62 is held on
		s.Off(time.Duration(3+i)*beat-10*time.Millisecond, key)
	}
	if p, ok := s.VoiceOf(last); !ok || p.Voices != 2 || p.Role == Alone {
		t.Errorf("place %+v, %v; want one of two voices", p, ok)
	}
}

func TestHands(t *testing.T) {
	for _, text := range [][2]string{
		{song + song2, alberti + " " + alberti},
		{"x8([c5 e5 g5]:1 [b4 d5 g5]:1)", "x8(c3:1 g2:1)"},
		{"x4(e4:1 g4:1 c5:1 e5:1)", "x4([c3 g3]:2 [c3 e3]:2)"},
	} {
		p := compose("hands", beat, text[:], nil)
		for i, place := range p.separate(NewSeparator()) {
			want := Right
			if p.sounds[i].part == 1 {
				want = Left
			}
			if place.Hand != want {
				t.Errorf("%.20s: key %d at beat %.1f is in hand %d", text[0], p.sounds[i].key, float64(p.sounds[i].at)/float64(beat), place.Hand)
			}
		}
	}
}

// detach ends every note shortly before a moment begins: what overlaps for less than
// 100 ms is a slur at one tempo and none at another.
func (p *piece) detach() {
	for i := range p.sounds {
		s := &p.sounds[i]
		end := s.at + s.length
		for _, other := range p.sounds {
			if other.at > s.at && other.at <= s.at+s.length {
				end = other.at - 4*time.Millisecond
			}
		}
		s.length = end - s.at
	}
}

// Transposed by octaves and at another tempo, the same music has the same voices and
// roles.
func TestSeparatorEquivariance(t *testing.T) {
	for _, p := range passages() {
		if gaps(p) <= longestOverlap {
			continue
		}
		p.detach()
		want := p.separate(NewSeparator())
		for name, change := range map[string]func(*sound){
			"an octave higher": func(s *sound) { s.key += 12 },
			"half as fast":     func(s *sound) { s.at *= 2; s.length *= 2 },
		} {
			q := p
			q.sounds = slices.Clone(p.sounds)
			for i := range q.sounds {
				change(&q.sounds[i])
			}
			got := q.separate(NewSeparator())
			for i := range got {
				g, w := got[i], want[i]
				g.Hand, w.Hand = 0, 0
				if g != w {
					t.Errorf("%s, %s: note %d is %+v, want %+v", p.name, name, i, g, w)
					break
				}
			}
		}
	}
}

func TestMelody(t *testing.T) {
	s := NewSeparator()
	if v, c := s.Melody(0); v != -1 || c != 0 {
		t.Errorf("before any note: voice %d, confidence %v", v, c)
	}
	p := passages()[0]
	places := p.separate(s)
	voice, sure := s.Melody(p.sounds[len(p.sounds)-1].at)
	for i, n := range p.sounds {
		if n.tune && n.at > 16*beat && places[i].Voice != voice {
			t.Errorf("the melody is voice %d, the tune's note %d is in %d", voice, i, places[i].Voice)
		}
	}
	if sure < 0.5 || sure > 1 {
		t.Errorf("confidence %.2f, want 0.5 to 1", sure)
	}
}

// Chords of more notes than there are voices, and of more than a moment holds.
func TestManyNotes(t *testing.T) {
	s := NewSeparator()
	for i := range 60 {
		v, id := s.Note(0, 30+i, 80)
		p, ok := s.VoiceOf(id)
		if v < 0 || v >= MaxVoices || !ok || p.Voice < 0 || p.Voice >= MaxVoices || p.Voices > MaxVoices {
			t.Fatalf("note %d: voice %d, place %+v %v", i, v, p, ok)
		}
	}
	for i := range 60 {
		s.Off(beat, 30+i)
	}
	_, id := s.Note(2*beat, 60, 80)
	if p, _ := s.VoiceOf(id); p.Voices > 2 {
		t.Errorf("%d voices sound, all but a few notes have ended", p.Voices)
	}
}

func TestPassedOver(t *testing.T) {
	s := NewSeparator()
	for _, n := range [][2]int{{-1, 80}, {128, 80}, {60, 0}, {60, 128}} {
		if v, id := s.Note(0, n[0], n[1]); v != -1 || id != 0 {
			t.Errorf("key %d, velocity %d: voice %d, number %d", n[0], n[1], v, id)
		}
	}
	s.Off(0, 60)
	if _, ok := s.VoiceOf(1); ok {
		t.Error("a note that never was has a place")
	}
}

// More notes than are followed, none of which ever ends, do not take the voices of
// those that come after.
func TestNotesWithoutEnd(t *testing.T) {
	s := NewSeparator()
	var at time.Duration
	for i := range 300 {
		at = time.Duration(i) * beat
		s.Note(at, 30+i%90, 80)
	}
	if n := len(s.held); n > maxHeld {
		t.Fatalf("%d notes are held, want %d at most", n, maxHeld)
	}
	for key := range 128 {
		for range 4 {
			s.Off(at+beat, key)
		}
	}
	_, id := s.Note(at+2*beat, 60, 80)
	if p, _ := s.VoiceOf(id); p.Voices != 1 {
		t.Errorf("%d voices sound, all other notes have ended", p.Voices)
	}
}

// All voices sound, and a note that was heard as the next of one turns out not to be, as that
// one's own goes on: there is no voice left for it, and none of the moment has one of its own.
func TestMomentWithoutAVoice(t *testing.T) {
	s := NewSeparator()
	s.Note(beat, 50, 70)
	s.Note(2*beat, 53, 70)
	s.Off(2*beat+longestOverlap/2, 50) // a slur
	for range MaxVoices {
		s.Note(3*beat, 50, 70)
	}
	_, id := s.Note(3*beat+Together+Together/4, 53, 70)
	for at := 9 * beat; at < 12*beat; at += beat {
		if v, id := s.Note(at, 43, 70); v < 0 || v >= MaxVoices || id == 0 {
			t.Errorf("voice %d, number %d after a moment without a voice", v, id)
		}
		s.Off(at+beat/2, 43)
	}
	if p, ok := s.VoiceOf(id); !ok || p.Role != Inner {
		t.Errorf("the note without a voice of its own has the place %+v %v, want an inner one", p, ok)
	}
	if v, sure := s.Melody(20 * beat); v < 0 || v >= MaxVoices || !(sure >= 0 && sure <= 1) {
		t.Errorf("the melody is voice %d, sure %g", v, sure)
	}
}
