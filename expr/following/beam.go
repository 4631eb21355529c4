package following

import "math"

// logAdd is log(exp(a)+exp(b)).
func logAdd(a, b float64) float64 {
	if a < b {
		a, b = b, a
	}
	if math.IsInf(b, -1) {
		return a
	}
	return a + math.Log1p(math.Exp(b-a))
}

// best is the likeliest hypothesis, -1 if there is none.
func (f *Follower) best() int {
	best := -1
	for i := range f.hypotheses {
		if best < 0 || f.hypotheses[i].weight > f.hypotheses[best].weight {
			best = i
		}
	}
	return best
}

// total is the weight of everything.
func (f *Follower) total() float64 {
	most := f.nowhere
	if best := f.best(); best >= 0 {
		most = max(most, f.hypotheses[best].weight)
	}
	sum := math.Exp(f.nowhere - most)
	for i := range f.hypotheses {
		if d := f.hypotheses[i].weight - most; d > -20 {
			sum += math.Exp(d)
		}
	}
	return most + math.Log(sum)
}

// sure is the probability of hypothesis i.
func (f *Follower) sure(i int) float64 { return math.Exp(f.hypotheses[i].weight - f.total()) }

// dropDead drops the hypotheses that are hopeless.
func (f *Follower) dropDead() {
	kept := f.hypotheses[:0]
	for i := range f.hypotheses {
		if f.hypotheses[i].weight >= f.least {
			kept = append(kept, f.hypotheses[i])
		}
	}
	f.hypotheses = kept
}

// add adds a hypothesis, in place of the least likely if there are too many.
func (f *Follower) add(h *hypothesis) {
	if !(h.weight >= f.least) {
		return
	}
	if len(f.hypotheses) < beam {
		f.hypotheses = append(f.hypotheses, *h)
		return
	}
	worst := 0
	for i := range f.hypotheses {
		if f.hypotheses[i].weight < f.hypotheses[worst].weight {
			worst = i
		}
	}
	if f.hypotheses[worst].weight < h.weight {
		f.hypotheses[worst] = *h
	}
}

// twinRatio is by how much of a ratio two hypotheses that are one may differ; see hand for the place.
const twinRatio = 0.02

func (h *hypothesis) isTwin(f *Follower, score, ratio float64) bool {
	return math.Abs(h.score-score) < f.hand.twinScore && math.Abs(h.ratio-ratio) < twinRatio*ratio
}

// dropTwins keeps the likelier of two hypotheses that have come to say the same.
func (f *Follower) dropTwins() {
	for i := 0; i < len(f.hypotheses); i++ {
		for k := len(f.hypotheses) - 1; k > i; k-- {
			a, b := &f.hypotheses[i], &f.hypotheses[k]
			if !a.isTwin(f, b.score, b.ratio) {
				continue
			}
			if b.weight > a.weight {
				*a = *b
			}
			*b = f.hypotheses[len(f.hypotheses)-1]
			f.hypotheses = f.hypotheses[:len(f.hypotheses)-1]
		}
	}
}

// settleWeights keeps the weights near 0.
func (f *Follower) settleWeights() {
	t := f.total()
	f.nowhere -= t
	f.least -= t
	for i := range f.hypotheses {
		f.hypotheses[i].weight -= t
	}
	for i := range f.heard {
		f.recent[i].base -= t
	}
}
