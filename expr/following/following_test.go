package following_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/following"
)

func steady(s *expr.Score, seed uint64, ratio float64) *live {
	return &live{Rand: rand.New(rand.NewPCG(seed, 3)), score: s, ratio: ratio, jitter: 2 * time.Millisecond}
}

// indexOfBar is the first note from the start of a bar on.
func indexOfBar(s *expr.Score, bar int) int {
	return slices.IndexFunc(s.Notes, func(n expr.Written) bool { return n.On >= s.Bars[bar].At })
}

func TestPlayingThrough(t *testing.T) {
	for name, s := range map[string]*expr.Score{"demo": demoScore(t), "quartet": quartet(3, 100), "solo": solo(1, 100)} {
		const ratio = 1.25
		f := following.New(s)
		right, wrong := 0, 0
		notes := steady(s, 1, ratio).play(0, len(s.Notes))
		for i, n := range notes {
			switch m := hear(f, n); {
			case m.Note == n.note:
				right++
			case m.Note >= 0:
				wrong++
			}
			if i < 20 {
				continue
			}
			p := f.Position(n.at)
			bar := barOf(s, n.place)
			w := &s.Notes[n.note]
			beat := 1 + (w.Beat-s.Bars[bar].Beat)*float64(s.Bars[bar].Unit)/4
			if p.BarIndex != bar || p.Bar != s.Bars[bar].Number || math.Abs(p.Beat-beat) > 0.05 {
				t.Errorf("%s: note %d is in bar %d (%d) at beat %.3f, want bar %d at beat %.3f", name, i, p.Bar, p.BarIndex, p.Beat, s.Bars[bar].Number, beat)
			}
			if math.Abs(p.Tempo-ratio) > 0.02 {
				t.Errorf("%s: tempo %.3f at note %d, want %.2f", name, p.Tempo, i, ratio)
			}
			if p.Sure < 0.9 {
				t.Errorf("%s: the place is sure by %.2f only at note %d", name, p.Sure, i)
			}
		}
		if right < len(notes)-10 || wrong > 0 {
			t.Errorf("%s: of %d notes, %d were told rightly and %d wrongly", name, len(notes), right, wrong)
		}
	}
}

// A loop is recognised within four notes each time.
func TestLoop(t *testing.T) {
	s := quartet(3, 100)
	f := following.New(s)
	l := steady(s, 2, 1)
	from, until := indexOfBar(s, 40), indexOfBar(s, 44)
	for round := range 20 {
		l.wait(500 * time.Millisecond)
		for i, n := range l.play(from, until-from) {
			hear(f, n)
			if p := f.Position(n.at); i >= 3 && (p.BarIndex != barOf(s, n.place) || p.Sure < 0.9) {
				t.Fatalf("round %d, note %d: bar %d, sure by %.2f, want bar %d", round, i, p.BarIndex, p.Sure, barOf(s, n.place))
			}
		}
	}
}

// Of four bars that are the same, the hint tells which.
func TestLocate(t *testing.T) {
	s := repeats(5)
	for _, bar := range []int{2, 18, 50} {
		f := following.New(s)
		l := steady(s, 3, 1)
		f.Locate(s.Bars[bar].Beat)
		for i, n := range l.play(indexOfBar(s, bar), 12) {
			hear(f, n)
			if p := f.Position(n.at); i >= 3 && (p.BarIndex != barOf(s, n.place) || p.Sure < 0.9) {
				t.Errorf("after the hint at bar %d, note %d: bar %d, sure by %.2f", bar, i, p.BarIndex, p.Sure)
			}
		}
	}
	// Without a hint the time through the repeat is not known, but the note is, for the music goes on
	// alike, and so is the bar as it is printed.
	f := following.New(s)
	told, sure := 0, 0
	for _, n := range steady(s, 3, 1).play(indexOfBar(s, 2), 20) {
		if hear(f, n).Note >= 0 {
			told++
		}
		if p := f.Position(n.at); p.Sure > 0.9 {
			sure++
			if want := s.Bars[barOf(s, n.place)].Number; p.Bar != want {
				t.Errorf("the bar is said to be %d, sure by %.2f, and is %d", p.Bar, p.Sure, want)
			}
		}
	}
	if sure < 10 {
		t.Errorf("the bar in a repeat was sure at %d of 20 notes", sure)
	}
	// Where every time through has numbers of its own, the bar is not sure.
	counted := *s
	counted.Bars = slices.Clone(s.Bars)
	for i := range counted.Bars {
		counted.Bars[i].Number = i + 1
	}
	f = following.New(&counted)
	for _, n := range steady(&counted, 3, 1).play(indexOfBar(&counted, 2), 20) {
		hear(f, n)
		if p := f.Position(n.at); p.Sure > 0.9 {
			t.Errorf("the bar is said to be %d, sure by %.2f, of four that are alike", p.Bar, p.Sure)
		}
	}
	if told < 10 {
		t.Errorf("%d of 20 notes in a repeat were told", told)
	}
	// A hint that is wrong does not keep the music from being found.
	f.Locate(s.Bars[20].Beat)
	notes := steady(s, 3, 1).play(indexOfBar(s, 34), 20)
	for _, n := range notes {
		hear(f, n)
	}
	if p := f.Position(notes[19].at); p.BarIndex != barOf(s, notes[19].place) || p.Sure < 0.9 {
		t.Errorf("after a wrong hint: bar %d, sure by %.2f", p.BarIndex, p.Sure)
	}
}

func TestReset(t *testing.T) {
	s := quartet(3, 100)
	f := following.New(s)
	l := steady(s, 4, 1)
	for _, n := range l.play(0, 50) {
		hear(f, n)
	}
	if p := f.Position(l.now); p.BarIndex < 0 {
		t.Fatal("nothing was found")
	}
	f.Reset()
	if p := f.Position(l.now); p != (following.Position{BarIndex: -1}) {
		t.Errorf("after a reset: %+v", p)
	}
}

// The place becomes unsure while notes are missing, and is found again where the music
// goes on after a pause that nobody told of.
func TestPause(t *testing.T) {
	s := quartet(3, 100)
	f := following.New(s)
	l := steady(s, 5, 1)
	for _, n := range l.play(0, 100) {
		hear(f, n)
	}
	if p := f.Position(l.now + 20*time.Millisecond); p.Sure < 0.9 {
		t.Errorf("sure by %.2f a moment after a note", p.Sure)
	}
	if p := f.Position(l.now + 10*time.Second); p.Sure > 0.1 {
		t.Errorf("sure by %.2f after ten seconds of silence", p.Sure)
	}
	l.wait(10 * time.Second)
	for i, n := range l.play(100, 20) {
		hear(f, n)
		if p := f.Position(n.at); i >= 3 && p.BarIndex != barOf(s, n.place) {
			t.Errorf("note %d after the pause: bar %d, want %d", i, p.BarIndex, barOf(s, n.place))
		}
	}
}

// One part of an orchestra, the others muted from the start.
func TestOnePartAlone(t *testing.T) {
	s := demoScore(t)
	for _, name := range []string{"Flute 1", "Violins I", "Cellos"} {
		part := slices.Index(s.Parts, name)
		f := following.New(s)
		l := steady(s, 6, 1)
		l.muted = func(p uint16) bool { return int(p) != part }
		notes := l.play(0, 1000)
		right, wrong := 0, 0
		for _, n := range notes {
			switch m := hear(f, n); {
			case m.Note == n.note:
				right++
			case m.Note >= 0 && int(s.Notes[m.Note].Part) != part:
				wrong++
			}
		}
		t.Logf("%s: of %d notes, %d were told", name, len(notes), right)
		if right < len(notes)*3/4 || wrong > 0 {
			t.Errorf("%s: of %d notes, %d were told rightly and %d in a wrong part", name, len(notes), right, wrong)
		}
	}
}

// A channel that the score does not have is learnt, whatever its port.
func TestStrangePorts(t *testing.T) {
	s := quartet(3, 100)
	for _, port := range []uint32{7, 63, 64, 4000} {
		f := following.New(s)
		l := steady(s, 7, 1)
		l.seat = func(n *expr.Written) uint32 { return port*16 + 15 - uint32(n.Part) }
		right := 0
		notes := l.play(0, 200)
		for _, n := range notes {
			if hear(f, n).Note == n.note {
				right++
			}
		}
		if right < len(notes)*8/10 {
			t.Errorf("port %d: of %d notes, %d were told rightly", port, len(notes), right)
		}
	}
}

// What was learnt of channels is unlearnt when they are given to others.
func TestChannelsChange(t *testing.T) {
	s := quartet(3, 150)
	f := following.New(s)
	l := steady(s, 10, 1)
	for _, n := range l.play(0, 500) {
		hear(f, n)
	}
	l.seat = func(n *expr.Written) uint32 { return uint32(3 - n.Part) }
	right := 0
	notes := l.play(indexOfBar(s, 60), 300)
	for i, n := range notes {
		if m := hear(f, n); i >= 100 && m.Note == n.note {
			right++
		}
	}
	if right < 190 {
		t.Errorf("%d of 200 notes were told rightly after the change", right)
	}
}

func TestNothingToFollow(t *testing.T) {
	noBars := quartet(3, 20)
	noBars.Bars = nil
	for name, s := range map[string]*expr.Score{"none": nil, "empty": {}, "no bars": noBars} {
		f := following.New(s)
		f.Locate(3)
		l := steady(quartet(3, 20), 8, 1)
		for _, n := range l.play(0, 40) {
			m := hear(f, n)
			if s != noBars && m != (following.Match{Note: -1}) {
				t.Errorf("%s: %+v", name, m)
			}
			if p := f.Position(n.at); p.BarIndex != -1 || p.Bar != 0 || p.Beat != 0 {
				t.Errorf("%s: %+v", name, p)
			}
		}
	}
	f := following.New(quartet(3, 20))
	if m := f.Note(0, 0, 16, 60); m.Note != -1 {
		t.Errorf("channel 16: %+v", m)
	}
	if m := f.Note(0, 0, 0, 128); m.Note != -1 {
		t.Errorf("key 128: %+v", m)
	}
}

func TestNoAllocation(t *testing.T) {
	s := orchestra(4, 160)
	f := following.New(s)
	l := steady(s, 9, 1)
	var notes []struck
	for len(notes) < 3000 {
		notes = append(notes, l.play(l.IntN(len(s.Notes)-100), 40)...)
	}
	i := 0
	if n := testing.AllocsPerRun(2000, func() {
		hear(f, notes[i])
		f.Position(notes[i].at)
		i++
	}); n != 0 {
		t.Errorf("%v allocations a note", n)
	}
}
