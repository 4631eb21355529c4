package pace

import (
	"math"
	"slices"
	"time"

	"swellbox/expr"
)

// Beat is how a player takes one beat, at the size that players were measured to.
type Beat struct {
	At    time.Duration // where it begins, in written time
	Log   float64       // log of its duration re the written one
	Inner float64       // the same without the slowing to the end of the piece
}

const (
	// reach is by how much more is done than the fit foresees: a fit that foresees a share of
	// what players do varies by that share, and players vary by the whole. It brings the standard
	// deviation of log beats to 0.23 in the mean, which is theirs in the median of pieces (in the mean 0.28), at amount 1.
	reach = 3.2

	// aloneReach is the same for one line by itself: it brings the standard deviation of log beats near the
	// robust one of 17 violinists in unaccompanied Bach (0.061; 0.118 with outliers; 103 recordings: Bach Violin Dataset, Dong et al.,
	// ICASSP 2022). Whether other lines by themselves are freer is not known.
	aloneReach = 1.3

	// aloneEnds is how far a line by itself slows to the end of the piece re a pianist: those violinists lengthen
	// the last four bars by 12.3, 10.5, 6.7 and 5.5 percent.
	aloneEnds = 0.35

	// mostAlone is up to how many notes at once, on average over the beats, a part is one line. Ours:
	// unaccompanied strings have double stops.
	mostAlone = 1.3

	// ensembleReach is the same for orchestras, whose fit foresees less: it brings the standard
	// deviation of log bars to six tenths of that of recordings (0.16), who also have tempos of their
	// own for whole sections.
	ensembleReach = 3.6

	// orchestraParts is from how many parts on a score is an orchestra's. Ours.
	orchestraParts = 6

	// The most that a beat may be longer and shorter, as logs: softly approached. Ours; a tenth
	// of a percent of players' beats go beyond, most of them by a fault of an alignment.
	mostLonger  = 1.1
	mostShorter = 0.5

	// leastBeats is the fewest beats of which anything can be said, about two bars. Ours.
	leastBeats = 8

	// unsteady is how much a written tempo may vary, as a log, and still say nothing.
	unsteady = 0.03
)

// Curve is how players take the beats of a score, by its notes and, where it has any, by its marks
// and signs. A score of less than two bars has none.
//
// Where the written tempo itself varies it is somebody's ritard: there no word is followed, and
// nothing that slows is slowed down more.
func Curve(s *expr.Score) []Beat {
	b := Read(s)
	if b.Count < leastBeats {
		return nil
	}
	all, inner := b.none(), b.none()
	marked := len(s.Signs) > 0 || slices.ContainsFunc(s.Notes, func(n expr.Written) bool { return n.Marks != 0 })
	times := b.Times(s)
	own, varies := b.written(times)
	orchestra := b.parts >= orchestraParts
	far, ends := reach, 1.
	if b.parts == 1 && math.Expm1(b.chord.mean1()) <= mostAlone {
		far, ends = aloneReach, aloneEnds
	}
	for i, t := range b.Terms() {
		w := table[i].notes
		switch {
		case orchestra && t.Group == Sections && marked && ensemble[i].weight == 0:
			w = table[i].scored // written section bars, which nobody fitted for orchestras: a pianist's
		case orchestra && t.Group != Marks && t.Group != Words:
			w = ensemble[i].weight * ensembleReach / reach
		case marked:
			w = table[i].scored
		}
		if w == 0 || t.Group == Words && varies {
			continue
		}
		if t.Group == Ends {
			w *= ends
		}
		for j, x := range t.Values {
			all[j] += w * x
			if t.Group != Ends {
				inner[j] += w * x
			}
		}
	}
	beats := make([]Beat, b.Count)
	for i := range beats {
		a, in := soft(far*all[i]), soft(far*inner[i])
		if own[i] > unsteady {
			a, in = min(a, 0), min(in, 0)
		}
		beats[i] = Beat{At: times[i], Log: a, Inner: in}
	}
	return beats
}

// soft keeps a log within what is bearable.
func soft(x float64) float64 {
	if x > 0 {
		return mostLonger * math.Tanh(x/mostLonger)
	}
	return mostShorter * math.Tanh(x/mostShorter)
}

// Times are the written times of the beats and of the end of the last.
func (b *Beats) Times(s *expr.Score) []time.Duration {
	notes := make([]*expr.Written, 0, len(s.Notes))
	for i := range s.Notes {
		if n := &s.Notes[i]; len(notes) == 0 || n.Beat > notes[len(notes)-1].Beat+1e-6 {
			notes = append(notes, n)
		}
	}
	times := make([]time.Duration, b.Count+1)
	for i := range times {
		at := b.From + float64(i)*b.Unit
		k, _ := slices.BinarySearchFunc(notes, at, func(n *expr.Written, at float64) int {
			if n.Beat < at {
				return -1
			}
			return 1
		})
		k = min(max(k, 1), len(notes)-1)
		x, y := notes[k-1], notes[k]
		times[i] = x.On + time.Duration((at-x.Beat)/(y.Beat-x.Beat)*float64(y.On-x.On))
		if i > 0 {
			times[i] = max(times[i], times[i-1]+1)
		}
	}
	return times
}

// written is by how much each beat is written longer than those around it, and whether the
// written tempo varies at all.
func (b *Beats) written(times []time.Duration) (own series, varies bool) {
	logs := b.none()
	for i := range logs {
		logs[i] = math.Log((times[i+1] - times[i]).Seconds())
	}
	least, most := slices.Min(logs), slices.Max(logs)
	if most-least < unsteady {
		return b.none(), false
	}
	return logs.less(logs.around(16)), true
}
