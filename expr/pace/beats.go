package pace

import (
	"cmp"
	"math"
	"slices"

	"swellbox/expr"
)

// Limits of a grid. A piece of more beats is not planned, nor does a note count in more.
const (
	maxBeats  = 1 << 20
	longest   = 64      // beats
	exactness = 1. / 96 // of a beat, by which a note may stand beside a place and be there
)

// Beats is a piece beat by beat: what a player sees who is to decide how long each lasts.
// A beat is the unit of the first time signature, as an eighth in 6/8.
type Beats struct {
	From  float64 // where the first beat begins, in quarter notes since the piece's start
	Unit  float64 // length of a beat in quarter notes
	Count int     // of whole beats up to the last onset

	parts   int     // that play
	seconds float64 // that a beat lasts by the score's own time, on average

	notes, moments, sounding, chord     series // counts, log(1 + n) but sounding
	high, low, middle                   series // keys
	longest, longTop                    series // log(1 + beats): the longest note, the top's own
	silent, onBeat, empty               series // share, flags
	chroma                              series // likeness of the harmony to that of the beat before
	place, bar                          series // beats since the bar's first, beats in the bar
	number                              []int  // of the bar, in groups of 8 from the first
	barBeats                            float64
	held, slurEnds, slurBegins          series // flags
	dotted, stressed                    series // shares of the notes
	broad, spread, ornament, graces     series // flags; log(1 + n)
	level, louder, softer               series
	repeatFrom, repeatTo, section, keys series // flags of places where sections and repeats begin or end
	words                               words
}

// at is the beat that a place in quarter notes stands in.
func (b *Beats) at(quarter float64) int {
	return int(math.Floor((quarter-b.From)/b.Unit + exactness))
}

// inside reports whether a beat is one of those.
func (b *Beats) inside(i int) bool { return i >= 0 && i < b.Count }

// Read lays a score over its beats. A score of less than two beats has none.
func Read(s *expr.Score) *Beats {
	b := &Beats{Unit: 1}
	origin := 0.0
	if n := len(s.Bars); n > 0 {
		if u := s.Bars[0].Unit; u > 0 {
			b.Unit = 4 / float64(u)
		}
		origin = s.Bars[n/2].Beat // the first may be an upbeat of which nobody said how long it is
	}
	notes := make([]*expr.Written, 0, len(s.Notes))
	for i := range s.Notes {
		if n := &s.Notes[i]; !n.Calls && n.Marks&expr.Grace == 0 && !math.IsNaN(n.Beat) && n.Length > 0 {
			notes = append(notes, n)
		}
	}
	if len(notes) < 2 {
		return b
	}
	slices.SortStableFunc(notes, func(x, y *expr.Written) int { return cmp.Or(cmp.Compare(x.Beat, y.Beat), cmp.Compare(x.Key, y.Key)) })
	first, last := notes[0], notes[len(notes)-1]
	b.From = origin + b.Unit*math.Ceil((first.Beat-origin)/b.Unit-exactness)
	count := math.Floor((last.Beat-b.From)/b.Unit + exactness)
	if !(count >= 2 && count <= maxBeats) {
		return b
	}
	b.Count = int(count)
	b.seconds = (last.On - first.On).Seconds() / max(last.Beat-first.Beat, 1e-6) * b.Unit
	playing := map[uint16]bool{}
	for _, n := range notes {
		playing[n.Part] = true
	}
	b.parts = len(playing)
	b.count(notes)
	b.sound(notes)
	b.bars(s.Bars)
	b.repeats(notes)
	b.marks(notes)
	b.signs(s.Signs)
	return b
}

// none is a series of zeros.
func (b *Beats) none() series { return make(series, b.Count) }

func (b *Beats) nowhere() series {
	s := b.none()
	for i := range s {
		s[i] = math.NaN()
	}
	return s
}

// count takes what begins in each beat.
func (b *Beats) count(notes []*expr.Written) {
	b.notes, b.moments, b.chord, b.onBeat = b.none(), b.none(), b.none(), b.none()
	b.high, b.low, b.middle, b.longest, b.longTop = b.nowhere(), b.nowhere(), b.nowhere(), b.none(), b.none()
	sum, last, size := b.none(), math.Inf(-1), 0.0
	for _, n := range notes {
		i := b.at(n.Beat)
		if !b.inside(i) {
			continue
		}
		if n.Beat-last > exactness*b.Unit {
			b.moments[i]++
			size, last = 0, n.Beat
		}
		size++
		b.chord[i] = max(b.chord[i], size)
		b.notes[i]++
		key := float64(n.Key)
		sum[i] += key
		length := n.Length / b.Unit
		b.longest[i] = max(b.longest[i], length)
		if !(b.high[i] >= key) {
			b.high[i], b.longTop[i] = key, length
		}
		if !(b.low[i] <= key) {
			b.low[i] = key
		}
		if math.Abs((n.Beat-b.From)/b.Unit-float64(i)) < exactness {
			b.onBeat[i] = 1
		}
	}
	for i, n := range b.notes {
		if n > 0 {
			b.middle[i] = sum[i] / n
		}
	}
	b.empty = b.notes.each(func(x float64) float64 { return flag(x == 0) })
	b.notes, b.moments, b.chord = b.notes.log(), b.moments.log(), b.chord.log()
	b.longest, b.longTop = b.longest.log(), b.longTop.log()
	b.high, b.low, b.middle = b.high.filled(), b.low.filled(), b.middle.filled()
}

// sound takes what sounds in each beat: how much, of which pitches, and how long nothing does.
func (b *Beats) sound(notes []*expr.Written) {
	b.sounding, b.silent, b.chroma = b.none(), b.none(), b.none()
	for i := range b.silent {
		b.silent[i] = 1
	}
	pitches := make([][12]float64, b.Count)
	until := math.Inf(-1) // to where something sounds
	for _, n := range notes {
		from, to := (n.Beat-b.From)/b.Unit, (n.Beat+min(n.Length, longest*b.Unit)-b.From)/b.Unit
		for i := max(int(math.Floor(from)), 0); i < b.Count && float64(i) < to; i++ {
			part := min(to, float64(i+1)) - max(from, float64(i))
			b.sounding[i] += part
			pitches[i][n.Key%12] += part
			b.silent[i] -= max(min(to, float64(i+1))-max(from, until, float64(i)), 0)
		}
		until = max(until, to)
	}
	for i := range b.silent {
		b.silent[i] = min(max(b.silent[i], 0), 1)
	}
	for i := 1; i < b.Count; i++ {
		var both, one, other float64
		for p := range pitches[i] {
			x, y := pitches[i-1][p], pitches[i][p]
			both, one, other = both+x*y, one+x*x, other+y*y
		}
		if one > 0 && other > 0 {
			b.chroma[i] = both / math.Sqrt(one*other)
		}
	}
	b.sounding = b.sounding.log()
}

// bars takes where in its bar each beat is.
func (b *Beats) bars(bars []expr.Bar) {
	b.place, b.bar, b.number = b.none(), b.none(), make([]int, b.Count)
	var lengths []float64
	k := -1
	for i := range b.place {
		at := b.From + float64(i)*b.Unit
		for k+1 < len(bars) && bars[k+1].Beat <= at+exactness*b.Unit {
			k++
		}
		start, length := b.From-4*b.Unit, 4.0
		if k >= 0 {
			start = bars[k].Beat
			if bars[k].Beats > 0 && bars[k].Unit > 0 {
				length = float64(bars[k].Beats) * 4 / float64(bars[k].Unit) / b.Unit
			}
		}
		length = max(length, 1)
		place := max((at-start)/b.Unit, 0)
		b.number[i] = k + int(place/length)
		b.place[i], b.bar[i] = math.Mod(place+exactness, length), length
		lengths = append(lengths, length)
	}
	if first := slices.IndexFunc(b.place, func(x float64) bool { return x < 0.05 }); first >= 0 {
		for i, base := 0, b.number[first]; i < b.Count; i++ { // an empty bar before all changes nothing
			b.number[i] = ((b.number[i]-base)%8 + 8) % 8
		}
	}
	slices.Sort(lengths)
	b.barBeats = lengths[len(lengths)/2]
}

// In a search for repeated passages: how many earlier places are tried, how far, and the
// least that counts as one, in beats.
const (
	repeatTries = 40
	repeatLook  = 16
	leastRepeat = 12
	leastApart  = 8
)

// repeats finds where passages begin and end that come twice, note by note.
func (b *Beats) repeats(notes []*expr.Written) {
	b.repeatFrom, b.repeatTo = b.none(), b.none()
	prints := make([]uint64, b.Count)
	for _, n := range notes {
		i := b.at(n.Beat)
		if !b.inside(i) {
			continue
		}
		where := uint64(math.Round(((n.Beat-b.From)/b.Unit - float64(i)) * 24))
		x := (where<<8|uint64(n.Key))*0x9E3779B97F4A7C15 + 0x7F4A7C15
		x ^= x >> 29
		prints[i] += x * 0xBF58476D1CE4E5B9 // a sum, so that the order in a chord does not matter
	}
	places := map[uint64][]int{}
	from := make([]int, b.Count)
	for j, p := range prints {
		from[j] = -1
		if j > 0 && from[j-1] >= 0 && prints[from[j-1]+1] == p && from[j-1]+1 < j {
			from[j] = from[j-1] + 1
		} else if p != 0 {
			best, tries := 0, places[p]
			for _, q := range tries[max(len(tries)-repeatTries, 0):] {
				l := 0
				for l < repeatLook && j+l < b.Count && q+l < j && prints[q+l] == prints[j+l] {
					l++
				}
				if l > best {
					best, from[j] = l, q
				}
			}
		}
		places[p] = append(places[p], j)
	}
	for j := 0; j < b.Count; {
		if from[j] < 0 {
			j++
			continue
		}
		e := j
		for e+1 < b.Count && from[e+1] == from[e]+1 {
			e++
		}
		if e-j+1 >= leastRepeat && j-from[j] >= leastApart {
			b.repeatFrom[j], b.repeatFrom[from[j]] = 1, 1
			if e+1 < b.Count {
				b.repeatTo[e+1], b.repeatTo[from[e]+1] = 1, 1
			}
		}
		j = e + 1
	}
}

// marks takes what is written over the notes.
func (b *Beats) marks(notes []*expr.Written) {
	b.held, b.slurEnds, b.slurBegins = b.none(), b.none(), b.none()
	b.dotted, b.stressed, b.broad, b.spread, b.ornament = b.none(), b.none(), b.none(), b.none(), b.none()
	b.louder, b.softer = b.none(), b.none()
	count := b.none()
	for _, n := range notes {
		i := b.at(n.Beat)
		if !b.inside(i) {
			continue
		}
		count[i]++
		has := func(some expr.Marks) float64 { return flag(n.Marks&some != 0) }
		b.held[i] = max(b.held[i], has(expr.Fermata))
		b.slurEnds[i] = max(b.slurEnds[i], has(expr.SlurEnds))
		b.slurBegins[i] = max(b.slurBegins[i], has(expr.SlurBegins))
		b.dotted[i] += has(expr.Staccato | expr.Staccatissimo)
		b.stressed[i] += has(expr.Accented | expr.Marcato)
		b.broad[i] = max(b.broad[i], has(expr.Tenuto))
		b.spread[i] = max(b.spread[i], has(expr.Spread))
		b.ornament[i] = max(b.ornament[i], has(expr.Ornament))
		b.louder[i] = max(b.louder[i], has(expr.Louder))
		b.softer[i] = max(b.softer[i], has(expr.Softer))
	}
	for i, n := range count {
		if n > 0 {
			b.dotted[i] /= n
			b.stressed[i] /= n
		}
	}
}
