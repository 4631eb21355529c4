package following_test

import (
	"math"
	"sort"
	"time"

	"swellbox/expr"
)

// oracle knows the whole score, the tempo, the channels and which notes were altered,
// and tells what can be told of the place at all.
type oracle struct {
	score *expr.Score
	at    map[[2]int][]time.Duration // by part and key
}

func newOracle(s *expr.Score) *oracle {
	o := &oracle{s, map[[2]int][]time.Duration{}}
	for i := range s.Notes {
		n := &s.Notes[i]
		k := [2]int{int(n.Part), int(n.Key)}
		o.at[k] = append(o.at[k], n.On)
	}
	return o
}

// near reports whether a part plays a key at a time, give or take.
func (o *oracle) near(part uint16, key uint8, at time.Duration) bool {
	const give = 12 * time.Millisecond
	times := o.at[[2]int{int(part), int(key)}]
	i := sort.Search(len(times), func(i int) bool { return times[i] >= at-give })
	return i < len(times) && times[i] <= at+give
}

// tells reports whether the unaltered among some notes stand in no other bar, bars
// that are the same aside, so that they tell the place of the last of them.
func (o *oracle) tells(notes []struck, like likeness) bool {
	last := notes[len(notes)-1].place
	true_ := barOf(o.score, last)
	var rare *expr.Written
	fewest := math.MaxInt
	for _, n := range notes {
		if n.note < 0 {
			continue
		}
		w := &o.score.Notes[n.note]
		if c := len(o.at[[2]int{int(w.Part), int(w.Key)}]); c < fewest {
			rare, fewest = w, c
		}
	}
	if rare == nil {
		return false
	}
places:
	for _, on := range o.at[[2]int{int(rare.Part), int(rare.Key)}] {
		shift := on - rare.On
		for _, n := range notes {
			if n.note < 0 {
				continue
			}
			w := &o.score.Notes[n.note]
			if !o.near(w.Part, w.Key, w.On+shift) {
				continue places
			}
		}
		if bar := barOf(o.score, last+shift); bar != true_ && (bar < 0 || like[bar] != like[true_]) {
			return false
		}
	}
	return true
}
