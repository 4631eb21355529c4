package beat

import "math"

// What a beat and a bar are told by. Each reading of the grid (how many units make a
// beat, which of them it is, whether it is parted by two or three) is weighed by three
// things: how probable onsets and rests are at each of its levels (the form is
// Temperley's, Music and Probability 2007, from memory; the figures are ours), how
// well the accents fall on it, and how usual its tempo is (Parncutt 1994, from memory).

// level is a place in the beat.
type level uint8

const (
	onBeat  level = iota
	half          // of a beat parted by two
	third         // of one parted by three, as in 6/8
	triplet       // a third of a beat parted by two
	quarter
	sixth
	eighth
	between
	levels
)

// textures are ways in which onsets fill the levels: the probability of an onset at
// each. Music in running notes fills them all, and long notes leave beats out. Ours,
// not published.
var textures = [...]struct {
	share float64
	onset [levels]float64
}{
	{0.5, [levels]float64{0.78, 0.50, 0.40, 0.12, 0.12, 0.08, 0.05, 0.02}},
	{0.2, [levels]float64{0.97, 0.90, 0.70, 0.06, 0.22, 0.08, 0.05, 0.02}},
	{0.2, [levels]float64{0.98, 0.98, 0.97, 0.05, 0.95, 0.08, 0.06, 0.02}},
	{0.1, [levels]float64{0.45, 0.11, 0.15, 0.03, 0.05, 0.02, 0.02, 0.01}},
}

// accent is the mean accent of the onsets at a level, in standard deviations. Ours.
var accent = [levels]float64{0.55, -0.2, -0.3, -0.25, -0.6, -0.7, -0.6, -0.6}

// The same of the places in a bar: its first beat, the middle of one of four, the others.
var (
	barOnset  = [3]float64{0.92, 0.83, 0.78}
	barAccent = [3]float64{0.7, 0.12, -0.33}
)

// beats are the numbers of units that can make a beat.
var beats = [...]int32{1, 2, 3, 4, 6, 8, 9, 12, 16, 18, 24}

const (
	mostUnits = 24 // the last of them
	mostBeats = 4
	shortBeat = 0.25 // seconds, as are
	longBeat  = 1.8
	longUnit  = 0.9 // a unit from which beats are looked for between onsets
)

// How the evidence is weighed. Onsets hang together, so that a nat of evidence from
// each counts for less. Ours, fitted by hand and by a random search to made-up music of
// ten kinds.
const (
	halfLife    = 14.0 // seconds in which what was heard loses half of its weight
	evidence    = 0.28 // of the evidence from where onsets are
	accentWorth = 0.45 // of that from how they are accented
	barWorth    = 0.8  // of that for bars
	trustMost   = 5.0  // nats in favour of the beat and the bar that have been, at most
	trustGrowth = 0.2  // nats a second by which it grows, where they are sure
	temper      = 0.7  // of the evidence goes into Sure, so that it is right as often as it says,
	barTemper   = 0.5  // into BarSure,
	trustTold   = 0.7  // and this much of the trust is taken out before
)

// Shares of the metres, as a rule of thumb: two, three and four beats, of beats parted
// by two and by three. Common practice, no published source.
var barShare = [2][mostBeats + 1]float64{{2: 0.2, 3: 0.3, 4: 0.5}, {2: 0.75, 3: 0.05, 4: 0.2}}

// tempoPrior is how usual a beat of so many seconds is, 1 at most.
//
// Source: Parncutt 1994, from memory.
func tempoPrior(period float64) float64 {
	x := math.Log10(period/0.7) / 0.2
	return math.Exp(-0.5 * x * x)
}

// metre is a reading of a grid.
type metre struct {
	beat    int32 // units
	phase   int32 // number of one beat
	parted  int   // 2 or 3: what a beat is parted into
	sure    float64
	bar     int32 // beats
	first   int32 // number of the first unit of one bar
	barSure float64
}

// heard is what a metre is inferred from.
type heard struct {
	n      int
	pos    [window]int32
	weight [window]float64
	accent [window]float64
	bar    [window]float64 // accent that speaks of bars
	slots  float64         // weights of all units in the window's span, summed

	count, accents [mostUnits]float64 // the onsets and their accents, folded
	guesses        [256]guess
	beats          [window]beatOnset
}

// beatOnset is an onset on a beat.
type beatOnset struct {
	beat           int32
	weight, accent float64
}

// levelTables has the level of each unit of a beat, by the number of units and by how
// the beat is parted.
var levelTables = func() (t [2][mostUnits + 1][mostUnits]level) {
	for parted := range t {
		for _, b := range beats {
			for k := range b {
				t[parted][b][k] = levelOf(k, b, parted == 1)
			}
		}
	}
	return t
}()

func levelOf(k, b int32, compound bool) level {
	falls := func(by int32) bool { return k*by%b == 0 }
	switch {
	case k == 0:
		return onBeat
	case compound && falls(3):
		return third
	case compound && falls(6):
		return quarter
	case compound:
		return between
	case falls(2):
		return half
	case falls(4):
		return quarter
	case falls(3):
		return triplet
	case falls(6):
		return sixth
	case falls(8):
		return eighth
	}
	return between
}

// logOnset and logRest are the logarithms of the probabilities of an onset and of none.
var logOnset, logRest, logShare = func() (on, off [len(textures)][levels]float64, share [len(textures)]float64) {
	for i, t := range textures {
		share[i] = math.Log(t.share)
		for l, p := range t.onset {
			on[i][l], off[i][l] = math.Log(p), math.Log(1-p)
		}
	}
	return on, off, share
}()

// logBarOnset and logBarRest are the same of the places in a bar, against those of any beat.
var logBarOnset, logBarRest = func() (on, off [3]float64) {
	usual := textures[0].onset[onBeat]
	for i, p := range barOnset {
		on[i], off[i] = math.Log(p/usual), math.Log((1-p)/(1-usual))
	}
	return on, off
}()

// guess is one reading, and how it fares.
type guess struct {
	metre
	score float64 // nats
	trust float64 // of them, for having been right before
}

// finalists is how many readings of the beat are asked for their bars.
const finalists = 8

// infer finds beat and bar of a grid, in favour of those that it has. The bar tells of
// the beat, too: of two readings of the beat, that is better of which bars can be made.
func (h *heard) infer(g *grid) metre {
	all := h.weighBeats(g)
	for i := range min(finalists, len(all)) { // the best go to the front
		best := i
		for j := i + 1; j < len(all); j++ {
			if all[j].score > all[best].score {
				best = j
			}
		}
		all[i], all[best] = all[best], all[i]
	}
	all = all[:min(finalists, len(all))]
	best := &all[0]
	for i := range all {
		a := &all[i]
		a.score += h.inferBar(&a.metre, g)
		if a.score > best.score {
			best = a
		}
	}
	var sum, same float64
	for _, a := range all {
		w := math.Exp(temper * (a.score - best.score - trustTold*(a.trust-best.trust)))
		sum += w
		if a.beat == best.beat && a.phase == best.phase {
			same += w
		}
	}
	m := best.metre
	m.sure = same / sum
	m.barSure *= m.sure
	return m
}

// weighBeats tries all readings of the beat. There is always one, as no unit is longer
// than longUnit.
func (h *heard) weighBeats(g *grid) []guess {
	all := h.guesses[:0]
	for _, b := range beats {
		period := float64(b) * g.unit
		if period < shortBeat && b != mostUnits || period > longBeat && b != 1 {
			continue
		}
		h.fold(b)
		prior := math.Log(tempoPrior(period))
		for parted := 2; parted <= 3; parted++ {
			if parted == 3 && b%3 != 0 {
				continue
			}
			for phase := range b {
				a := guess{metre: metre{beat: b, phase: phase, parted: parted}}
				if b == g.beat {
					a.trust = g.lengthTrust
					if phase == mod(g.phase, b) {
						a.trust += g.placeTrust
					}
				}
				a.score = h.weighBeat(b, phase, parted) + prior + logParted[parted-2] + a.trust
				all = append(all, a)
			}
		}
	}
	return all
}

// logParted is how usual beats parted by two and by three are. Ours.
var logParted = [2]float64{math.Log(0.8), math.Log(0.2)}

// fold lays the onsets over each other, n units long.
func (h *heard) fold(n int32) {
	clear(h.count[:n])
	clear(h.accents[:n])
	for i := range h.n {
		k := mod(h.pos[i], n)
		h.count[k] += h.weight[i]
		h.accents[k] += h.weight[i] * h.accent[i]
	}
}

// weighBeat is the evidence for a beat of b folded units, in nats.
func (h *heard) weighBeat(b, phase int32, parted int) float64 {
	table := &levelTables[parted-2][b]
	slots := h.slots / float64(b)
	var filled, empty [levels]float64
	accents := 0.0
	for k := range b {
		l := table[mod(k-phase, b)]
		n := h.count[k]
		filled[l] += n
		empty[l] += max(0, slots-n)
		accents += accent[l] * (h.accents[k] - n*accent[l]/2)
	}
	best := math.Inf(-1)
	for i := range textures {
		sum := 0.0
		for l := range levels {
			sum += filled[l]*logOnset[i][l] + empty[l]*logRest[i][l]
		}
		best = max(best, evidence*sum+logShare[i])
	}
	return best + accentWorth*accents
}

// inferBar finds the bars of a beat, and returns the evidence for bars, in nats.
func (h *heard) inferBar(m *metre, g *grid) float64 {
	var count, accents [mostBeats]float64
	var scores [mostBeats + 1][mostBeats]float64
	top := math.Inf(-1)
	n := 0
	for i := range h.n {
		units := h.pos[i] - m.phase
		if beat := units / m.beat; beat*m.beat == units {
			h.beats[n] = beatOnset{beat, h.weight[i], h.weight[i] * h.bar[i]}
			n++
		}
	}
	for bar := int32(2); bar <= mostBeats; bar++ {
		clear(count[:])
		clear(accents[:])
		for _, o := range h.beats[:n] {
			k := mod(o.beat, bar)
			count[k] += o.weight
			accents[k] += o.accent
		}
		slots := h.slots / float64(m.beat) / float64(bar)
		for first := range bar {
			sum := 0.0
			for k := range bar {
				l := barLevel((k-first+bar)%bar, bar)
				sum += count[k]*logBarOnset[l] + max(0, slots-count[k])*logBarRest[l] +
					barAccent[l]*(accents[k]-count[k]*barAccent[l]/2)
			}
			score := barWorth*sum + math.Log(barShare[m.parted-2][bar]/float64(bar))
			at := m.phase + first*m.beat
			if bar == g.bar && m.beat == g.beat && mod(at-g.first, m.beat*bar) == 0 {
				score += g.barTrust
			}
			scores[bar][first] = score
			if score > top {
				top, m.bar, m.first = score, bar, at
			}
		}
	}
	var sum, told float64
	for bar := 2; bar <= mostBeats; bar++ {
		for _, score := range scores[bar][:bar] {
			sum += math.Exp(score - top)
			told += math.Exp(barTemper * (score - top))
		}
	}
	m.barSure = 1 / told
	return top + math.Log(sum)
}

// barLevel is the place of a beat in its bar.
func barLevel(k, bar int32) int {
	switch {
	case k == 0:
		return 0
	case bar == 4 && k == 2:
		return 1
	}
	return 2
}
