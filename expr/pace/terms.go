package pace

import (
	"fmt"
	"math"

	"swellbox/expr"
)

// Group is a habit of taking time, made of several terms.
type Group uint8

const (
	Ends     Group = iota // to the end of the piece, and out of its beginning
	Sections              // where sections and repeated passages end and begin
	Rests                 // into rests and on long notes
	Texture               // many notes or few, chords, what sounds
	Line                  // heights, leaps and peaks
	Bar                   // the place in the bar and in groups of bars
	Harmony               // where the harmony changes
	Marks                 // slurs, dots, accents, fermatas, spread chords, levels
	Words                 // what is written of the tempo
)

// Groups are how many groups there are.
const Groups = int(Words) + 1

// String is the group's name.
func (g Group) String() string {
	return [...]string{"ends", "sections", "rests", "texture", "line", "bar", "harmony", "marks", "words"}[g]
}

// Term is one number a beat that says something of why players take or save time there, about
// its mean over the piece.
type Term struct {
	Name   string
	Group  Group
	Values []float64
}

// size is what a term weighs where the marks of a score are known, and where only its notes
// are, each with its standard error.
type size struct{ scored, scoredSE, notes, notesSE float64 }

// weight is what a term weighs in an orchestra, with its standard error.
type weight struct{ weight, se float64 }

// terms gathers what [Beats.Terms] returns.
type terms struct {
	b     *Beats
	group Group
	all   []Term
}

func (t *terms) add(name string, s series) {
	m := s.mean1()
	for i := range s {
		s[i] -= m
	}
	t.all = append(t.all, Term{name, t.group, s})
}

// Terms are all terms of a piece, always the same and in the same order.
func (b *Beats) Terms() []Term {
	t := &terms{b: b, all: make([]Term, 0, len(table))}
	t.ends()
	t.sections()
	t.rests()
	t.texture()
	t.line()
	t.inBar()
	t.harmony()
	t.marks()
	t.words()
	return t.all
}

func (t *terms) ends() {
	b := t.b
	t.group = Ends
	end, start := b.none(), b.none()
	for i := range end {
		end[i], start[i] = float64(b.Count-1-i), float64(i)
	}
	near := func(s series, h float64) series { return s.each(func(x float64) float64 { return math.Exp(-x / h) }) }
	for _, h := range []float64{0.5, 1, 2, 4, 8, 16, 32} {
		t.add(fmt.Sprintf("nearness to the end, by %g beats", h), near(end, h))
	}
	for _, h := range []float64{0.5, 1, 2, 4} {
		t.add(fmt.Sprintf("nearness to the end, by %g bars", h), near(end, h*b.barBeats))
	}
	for _, h := range []float64{1, 4, 16} {
		t.add(fmt.Sprintf("nearness to the beginning, by %g beats", h), near(start, h))
	}
	span := b.high.less(b.low).mean1()
	pace := math.Log(max(b.seconds, 0.05) / 0.5)
	for _, h := range []float64{2, 8} {
		e := near(end, h)
		t.add(fmt.Sprintf("the same by %g beats, in dense music", h), e.mul(b.moments.mean1()-1))
		t.add(fmt.Sprintf("the same by %g beats, in wide music", h), e.mul((span-30)/10))
		t.add(fmt.Sprintf("the same by %g beats, in long bars", h), e.mul(b.barBeats-3))
		t.add(fmt.Sprintf("the same by %g beats, in uneven music", h), e.mul(b.notes.deviation()))
		t.add(fmt.Sprintf("the same by %g beats, on long notes", h), e.times(b.longest))
		t.add(fmt.Sprintf("the same by %g beats, in slow music", h), e.mul(pace))
	}
	place := start.mul(1 / float64(b.Count))
	t.add("place in the piece", place)
	t.add("place in the piece, squared", place.times(place))
}

func (t *terms) sections() {
	b := t.b
	t.group = Sections
	for _, h := range []float64{1, 2, 4, 8} {
		t.add(fmt.Sprintf("before a section bar, by %g beats", h), b.section.towards(h))
		t.add(fmt.Sprintf("after a section bar, by %g beats", h), b.section.since(h))
	}
	edge := b.repeatFrom.with(b.repeatTo, math.Max)
	for _, h := range []float64{1, 2, 4} {
		t.add(fmt.Sprintf("before the edge of a repeated passage, by %g beats", h), edge.towards(h))
		t.add(fmt.Sprintf("after the edge of a repeated passage, by %g beats", h), edge.since(h))
	}
	for _, h := range []float64{1, 4} {
		t.add(fmt.Sprintf("before a new key or tempo, by %g beats", h), b.keys.towards(h))
	}
	t.add("after a new key or tempo, by 2 beats", b.keys.since(2))
	novelty := b.none()
	for _, s := range []series{b.notes, b.middle, b.sounding, b.longest} {
		sd := s.deviation() + 0.1
		novelty = novelty.with(s.after(8).less(s.before(8)), func(a, d float64) float64 { return a + math.Abs(d)/sd })
	}
	for _, d := range []int{0, 1, 2, 4} {
		t.add(fmt.Sprintf("how much the music changes %d beats on", d), novelty.at(d))
	}
}

// scales adds a series as it is about its running means, and how these are about longer ones.
func (t *terms) scales(name string, s series, near ...int) {
	s8, s32 := s.around(8), s.around(32)
	t.add(name+", re 8 beats", s.less(s8))
	for _, d := range near {
		t.add(fmt.Sprintf("%s, %+d beats, re 8 beats", name, d), s.at(d).less(s8))
	}
	t.add(name+", 8 beats re 32", s8.less(s32))
	t.add(name+", 32 beats", s32)
	t.add(name+", the 4 beats after re before", s.after(4).less(s.before(4)))
	t.add(name+", the 8 beats after re before", s.after(8).less(s.before(8)))
}

func (t *terms) rests() {
	b := t.b
	t.group = Rests
	t.scales("silence", b.silent, -1, 1, 2)
	t.scales("nothing begins", b.empty, -1, 1, 2)
	t.add("a rest is next", b.silent.at(1).over(0.3))
	rest := b.none()
	for i := 1; i < b.Count; i++ {
		rest[i] = flag(b.silent[i-1] < 0.2 && b.silent[i] > 0.4)
	}
	t.add("before a rest, by 2 beats", rest.towards(2))
	t.scales("longest note", b.longest, -2, -1, 1, 2, 3)
	t.scales("top's length", b.longTop, -1, 1, 2)
	long := b.longest.less(b.longest.around(12))
	for _, d := range []int{0, 1, -1} {
		t.add(fmt.Sprintf("longer note than around, %+d beats", d), long.at(d).above())
	}
	big := long.over(0.5)
	t.add("a much longer note", big)
	t.add("before a much longer note, by 2 beats", big.towards(2))
	t.add("after a much longer note", big.at(-1).since(1.5))
	thin := b.moments.around(6).less(b.moments)
	for _, d := range []int{0, 1, -1} {
		t.add(fmt.Sprintf("fewer onsets than around, %+d beats", d), thin.at(d).above())
	}
	pace := math.Log(max(b.seconds, 0.05) / 0.5)
	t.add("fewer onsets than around, in slow music", thin.above().mul(pace))
	t.add("longer note than around, in slow music", long.above().mul(pace))
}

func (t *terms) texture() {
	b := t.b
	t.group = Texture
	t.scales("notes", b.notes, -2, -1, 1, 2, 3)
	t.scales("onsets", b.moments, -2, -1, 1, 2, 3)
	t.scales("largest chord", b.chord, -2, -1, 1, 2)
	t.scales("what sounds", b.sounding, -1, 1, 2)
	t.add("more onsets than around", b.moments.less(b.moments.around(6)).above())
	pace := math.Log(max(b.seconds, 0.05) / 0.5)
	t.add("onsets, in slow music", b.moments.less(b.moments.around(8)).mul(pace))
}

func (t *terms) line() {
	b := t.b
	t.group = Line
	t.scales("highest key", b.high.mul(1./12), -2, -1, 1, 2, 3)
	t.scales("lowest key", b.low.mul(1./12), -2, -1, 1, 2)
	t.scales("mean key", b.middle.mul(1./12), -1, 1)
	span := b.high.less(b.low).mul(1. / 12)
	t.add("span, re 8 beats", span.less(span.around(8)))
	t.add("span, 8 beats re 32", span.around(8).less(span.around(32)))
	up, down := b.high.steps().mul(1./12), b.low.steps().mul(1./12)
	abs := func(s series) series { return s.each(math.Abs) }
	t.add("leap of the top", abs(up))
	t.add("leap of the top to come", abs(up.at(1)))
	t.add("leap up of the top to come", up.at(1).above())
	t.add("leap of the bass", abs(down))
	t.add("leap of the bass to come", abs(down.at(1)))
	peak := b.none()
	about := b.high.around(4)
	for i := 1; i+1 < b.Count; i++ {
		peak[i] = flag(b.high[i] >= b.high[i-1] && b.high[i] >= b.high[i+1] && b.high[i] > about[i]+4)
	}
	t.add("peak of the top", peak)
	t.add("peak of the top next", peak.at(1))
	t.add("top re the 8 beats after", b.high.less(b.high.after(8)).mul(1./12))
}

func (t *terms) inBar() {
	b := t.b
	t.group = Bar
	n := b.Count
	of := func(f func(i int) float64) series {
		s := b.none()
		for i := range n {
			s[i] = f(i)
		}
		return s
	}
	place, bar := b.place, b.bar
	down := func(i int) bool { return place[i] < 0.05 }
	last := func(i int) bool { return place[i] > bar[i]-1.05 }
	t.add("first of the bar", of(func(i int) float64 { return flag(down(i)) }))
	t.add("last of the bar", of(func(i int) float64 { return flag(last(i)) }))
	t.add("middle of the bar", of(func(i int) float64 { return flag(math.Abs(place[i]-bar[i]/2) < 0.05) }))
	t.add("place in the bar", of(func(i int) float64 { return place[i] / bar[i] }))
	t.add("place in the bar, as a wave", of(func(i int) float64 { return math.Cos(2 * math.Pi * place[i] / bar[i]) }))
	t.add("place in the bar, as a later wave", of(func(i int) float64 { return math.Sin(2 * math.Pi * place[i] / bar[i]) }))
	for _, m := range []int{2, 4, 8} {
		t.add(fmt.Sprintf("last beat of %d bars", m), of(func(i int) float64 { return flag(b.number[i]%m == m-1 && last(i)) }))
		t.add(fmt.Sprintf("last half bar of %d", m), of(func(i int) float64 { return flag(b.number[i]%m == m-1 && place[i] >= bar[i]/2-0.05) }))
		t.add(fmt.Sprintf("first beat of %d bars", m), of(func(i int) float64 { return flag(b.number[i]%m == 0 && down(i)) }))
	}
	t.scales("a note on the beat", b.onBeat, -1, 1, 2)
}

func (t *terms) harmony() {
	b := t.b
	t.group = Harmony
	for _, d := range []int{-1, 0, 1, 2} {
		t.add(fmt.Sprintf("the harmony stays, %+d beats", d), b.chroma.at(d))
	}
	t.add("the harmony stays, 8 beats", b.chroma.around(8))
	fifth := b.low.steps().each(func(x float64) float64 { return flag(x == -7 || x == 5) })
	t.add("the bass falls a fifth", fifth)
	t.add("the bass falls a fifth next", fifth.at(1))
}

func (t *terms) marks() {
	b := t.b
	t.group = Marks
	near := func(name string, s series, ds ...int) {
		for _, d := range ds {
			t.add(fmt.Sprintf("%s, %+d beats", name, d), s.at(d))
		}
	}
	near("fermata", b.held, -1, 0, 1, 2)
	near("slur ends", b.slurEnds, -1, 0, 1)
	near("slur begins", b.slurBegins, -1, 0, 1)
	near("tenuto", b.broad, 0, 1)
	near("spread chord", b.spread, 0, 1)
	near("ornament", b.ornament, 0, 1)
	near("grace notes", b.graces, 0, 1)
	t.add("staccato", b.dotted)
	t.add("staccato, 8 beats", b.dotted.around(8))
	t.add("accents", b.stressed)
	t.add("accents, 8 beats", b.stressed.around(8))
	t.add("written level", b.level)
	t.add("written level, the 4 beats after re before", b.level.after(4).less(b.level.before(4)))
	t.add("sforzato", b.words.kind[expr.Stress])
	t.add("under a crescendo", b.louder)
	t.add("under a diminuendo", b.softer)
	t.add("crescendo in the 4 beats before", b.louder.before(4))
	t.add("diminuendo in the 4 beats before", b.softer.before(4))
	t.add("crescendo as a word", b.words.kind[expr.GrowWord].since(6))
	t.add("diminuendo as a word", b.words.kind[expr.FadeWord].since(6))
}

func (t *terms) words() {
	w := &t.b.words
	t.group = Words
	mid := func(s series) series {
		m := s.mean1()
		return s.each(func(x float64) float64 { return min(max(x-m, -1.2), 1.2) })
	}
	t.add("written tempo in numbers", mid(w.pace))
	t.add("written tempo in words", mid(w.named))
	t.add("a new number", w.step)
	t.add("before a new number, by 2 beats", w.step.towards(2))
	t.add("before a new number, by 6 beats", w.step.towards(6))
	t.add("ritardando", w.slow)
	t.add("ritardando, how far", w.slowing)
	t.add("ritardando, its end", w.slowest)
	t.add("accelerando", w.hurry)
	t.add("accelerando, how far", w.hurrying)
	t.add("after a tempo", w.back)
	for _, k := range []struct {
		name string
		kind expr.SignKind
	}{{"dying away", expr.DieAway}, {"calm", expr.Calm}, {"stirred", expr.Stirred}, {"free time", expr.FreeTime}} {
		t.add("after a word: "+k.name, w.kind[k.kind].since(6))
		t.add("at a word: "+k.name, w.kind[k.kind])
	}
}
