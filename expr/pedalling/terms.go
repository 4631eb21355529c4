package pedalling

import (
	"fmt"
	"math"
)

// fades are how soon what is around a moment no longer counts, s.
var fades = [...]float64{0.7, 3, 12}

// around is the mean of facts around a moment, the nearer the more, by fade.
type around struct {
	sum    [len(fades)][facts]float64
	weight [len(fades)]float64
	at     float64
}

// add takes the facts of a moment at a time, which is no nearer to the one before than by what has passed.
func (a *around) add(at float64, f *[facts]float64) {
	d := math.Abs(at - a.at)
	a.at = at
	for k, by := range fades {
		w := math.Exp(-d / by)
		a.weight[k] = a.weight[k]*w + 1
		s := &a.sum[k]
		for i, x := range f {
			s[i] = s[i]*w + x
		}
	}
}

// terms are the means, and how many moments they are of, seen from a time.
func (a *around) terms(at float64, to []float64) []float64 {
	for k, by := range fades {
		w := a.weight[k]
		to = append(to, math.Log(w*math.Exp(-math.Abs(at-a.at)/by)/by+0.05))
		w = max(w, 1e-9)
		for _, i := range averaged {
			to = append(to, a.sum[k][i]/w)
		}
	}
	return to
}

// averaged are the facts whose means around a moment are terms.
var averaged = [...]int{
	fSize, fSounding, fSoundsOn, fRestBefore, fLowest, fHighest, fWidth, fByStep, fByLeap, fAgain, fNewClasses, fClashes, fIsBass, fBassLeap, fEndsEarly, fDotted, fSlurred, fLevel, fMarked,
}

// nextFacts are the facts of the moment that follows that are terms.
var nextFacts = [...]int{fSize, fSoundsOn, fRestBefore, fAgain, fNewClasses, fClashes, fLowClash, fIsBass, fNewBass, fBassStep, fSinceOnset}

// wholeFacts are the facts whose means over a piece are terms.
var wholeFacts = [...]int{fSize, fSounding, fRestBefore, fLowest, fWidth, fByStep, fByLeap, fNewClasses, fClashes, fSinceOnset, fBassLeap, fEndsEarly, fDotted, fSlurred, fMarked}

const (
	aroundTerms = len(fades) * (1 + len(averaged))
	// numTerms is how many terms a moment has; the first soundedTerms need no foreknowledge.
	soundedTerms = facts + aroundTerms
	numTerms     = soundedTerms + aroundTerms + len(nextFacts) + len(wholeFacts)
)

// Names are the names of the terms. Those that need a score begin with "score: ".
func Names() (names []string) {
	for i, n := range factNames {
		names = append(names, scored(i)+n)
	}
	for _, side := range []string{"before", "after"} {
		for _, by := range fades {
			prefix := ""
			if side == "after" {
				prefix = "score: "
			}
			names = append(names, prefix+fmt.Sprintf("onsets %s, %g s", side, by))
			for _, i := range averaged {
				p := prefix
				if p == "" {
					p = scored(i)
				}
				names = append(names, p+fmt.Sprintf("%s %s, %g s", factNames[i], side, by))
			}
		}
	}
	for _, i := range nextFacts {
		names = append(names, "score: next: "+factNames[i])
	}
	for _, i := range wholeFacts {
		names = append(names, "score: piece: "+factNames[i])
	}
	return names
}

// scored is the prefix of a fact that only a score knows.
func scored(i int) string {
	if i >= fNextOnset || i == fDownBeat || i == fOnBeat {
		return "score: "
	}
	return ""
}
