package following

import "math"

// The figures are ours, not published, and tried with the scores of the tests.
const (
	beamWidth = 32   // hypotheses at most
	jumpCost  = 5.8  // nats: one event in 300 begins a jump
	hopeless  = 14.0 // nats below music that is not the score, where a hypothesis ends
)

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

// beam is the hypotheses that are weighed against each other, and against music that is not the score.
type beam struct {
	hypotheses []hypothesis // at most beamWidth
	nowhere    float64      // weight of music that is not the score
	least      float64      // weight below which a hypothesis ends
}

func newBeam() beam { return beam{hypotheses: make([]hypothesis, 0, beamWidth)} }

func (b *beam) clear() { b.hypotheses, b.nowhere = b.hypotheses[:0], 0 }

// mayJump lets the music begin anew with the next event: it gives what such a beginning weighs.
func (b *beam) mayJump() float64 {
	b.nowhere = logAdd(b.nowhere, b.total()-jumpCost)
	b.least = b.nowhere - hopeless
	return b.nowhere
}

// best is the likeliest hypothesis, -1 if there is none.
func (b *beam) best() int {
	best := -1
	for i := range b.hypotheses {
		if best < 0 || b.hypotheses[i].weight > b.hypotheses[best].weight {
			best = i
		}
	}
	return best
}

// total is the weight of everything.
func (b *beam) total() float64 {
	most := b.nowhere
	if best := b.best(); best >= 0 {
		most = max(most, b.hypotheses[best].weight)
	}
	sum := math.Exp(b.nowhere - most)
	for i := range b.hypotheses {
		if d := b.hypotheses[i].weight - most; d > -20 {
			sum += math.Exp(d)
		}
	}
	return most + math.Log(sum)
}

// sure is the probability of hypothesis i.
func (b *beam) sure(i int) float64 { return math.Exp(b.hypotheses[i].weight - b.total()) }

// dropDead drops the hypotheses that are hopeless.
func (b *beam) dropDead() {
	kept := b.hypotheses[:0]
	for i := range b.hypotheses {
		if b.hypotheses[i].weight >= b.least {
			kept = append(kept, b.hypotheses[i])
		}
	}
	b.hypotheses = kept
}

// add adds a hypothesis, in place of the least likely if there are too many.
func (b *beam) add(h *hypothesis) {
	if !(h.weight >= b.least) {
		return
	}
	if len(b.hypotheses) < beamWidth {
		b.hypotheses = append(b.hypotheses, *h)
		return
	}
	worst := 0
	for i := range b.hypotheses {
		if b.hypotheses[i].weight < b.hypotheses[worst].weight {
			worst = i
		}
	}
	if b.hypotheses[worst].weight < h.weight {
		b.hypotheses[worst] = *h
	}
}

// twinRatio is by how much of a ratio two hypotheses that are one may differ; see hand for the place.
const twinRatio = 0.02

func (h *hypothesis) isTwin(within, score, ratio float64) bool {
	return math.Abs(h.score-score) < within && math.Abs(h.ratio-ratio) < twinRatio*ratio
}

// dropTwins keeps the likelier of two hypotheses that have come to say the same: their places lie
// within so much of each other.
func (b *beam) dropTwins(within float64) {
	for i := 0; i < len(b.hypotheses); i++ {
		for k := len(b.hypotheses) - 1; k > i; k-- {
			one, other := &b.hypotheses[i], &b.hypotheses[k]
			if !one.isTwin(within, other.score, other.ratio) {
				continue
			}
			if other.weight > one.weight {
				*one = *other
			}
			*other = b.hypotheses[len(b.hypotheses)-1]
			b.hypotheses = b.hypotheses[:len(b.hypotheses)-1]
		}
	}
}

// settle keeps the weights near 0, and gives what it took from each.
func (b *beam) settle() float64 {
	t := b.total()
	b.nowhere -= t
	b.least -= t
	for i := range b.hypotheses {
		b.hypotheses[i].weight -= t
	}
	return t
}
