package aligning

import "math"

// Align tells for each note of a performance which note of the score it is, or [None]. In
// one pass of the music no note of the score is played twice; a repeat that the score does
// not write out is another pass. It takes time in proportion to the performance's notes.
func Align(score, take []Note) []int {
	found := make([]int, len(take))
	for k := range found {
		found[k] = None
	}
	if len(score) == 0 || len(take) == 0 {
		return found
	}
	p := newPath(score, take)
	m := &matcher{score: score, take: take, ms: p.ms, visits: p.find(take), found: found}
	m.match()
	if m.partsDiffer() { // who plays what is known now
		m.learnParts()
		m.match()
	}
	return found
}

// How far from its moment a note may be found, in moments and in seconds. Ours.
const (
	reachMoments = 8
	reachSeconds = 0.6
)

// claim is a note of the score in one pass.
type claim struct{ note, pass int }

type matcher struct {
	score, take []Note
	ms          []moment
	visits      []visit
	found       []int
	claimed     map[claim]bool
	part        map[uint16]uint16 // of the performance to the score's, where known
}

func (m *matcher) match() {
	m.claimed = make(map[claim]bool, len(m.take))
	for k := range m.take {
		m.found[k] = m.claimAt(k, m.visits[k].moment)
	}
	m.stragglers()
}

// claimAt claims a note of a moment for a note of the performance.
func (m *matcher) claimAt(k, i int) int {
	n, best := m.take[k], None
	for j := m.ms[i].first; j <= m.ms[i].last; j++ {
		if m.score[j].Key != n.Key || m.claimed[claim{j, m.visits[k].pass}] {
			continue
		}
		if part, known := m.part[n.Part]; best == None || known && m.score[j].Part == part {
			best = j
		}
	}
	if best != None {
		m.claimed[claim{best, m.visits[k].pass}] = true
	}
	return best
}

// stragglers matches what came early or late by the nearest free note of its key.
func (m *matcher) stragglers() {
	heard := m.heardAt()
	for k := range m.take {
		if m.found[k] != None {
			continue
		}
		v, nearest, at := m.visits[k], reachSeconds, None
		for i := max(v.moment-reachMoments, 0); i <= min(v.moment+reachMoments, len(m.ms)-1); i++ {
			if !m.ms[i].keys.has(m.take[k].Key) {
				continue
			}
			t, known := heard[claim{i, v.pass}]
			if !known {
				t = m.between(heard, i, v.pass, m.take[k].At)
			}
			if d := math.Abs(m.take[k].At - t); d < nearest && m.free(m.take[k].Key, i, v.pass) {
				nearest, at = d, i
			}
		}
		if at != None {
			m.found[k] = m.claimAt(k, at)
		}
	}
}

func (m *matcher) free(key uint8, i, pass int) bool {
	for j := m.ms[i].first; j <= m.ms[i].last; j++ {
		if m.score[j].Key == key && !m.claimed[claim{j, pass}] {
			return true
		}
	}
	return false
}

// heardAt is when each moment of each pass began.
func (m *matcher) heardAt() map[claim]float64 {
	heard := make(map[claim]float64, len(m.ms))
	for k, v := range m.visits {
		at := claim{v.moment, v.pass}
		if _, known := heard[at]; !known && m.found[k] != None {
			heard[at] = m.take[k].At
		}
	}
	return heard
}

// between is when a moment that was left out would have been, between its neighbours; or
// otherwise, where one side is missing.
func (m *matcher) between(heard map[claim]float64, i, pass int, otherwise float64) float64 {
	for d := 1; d <= reachMoments; d++ {
		for e := 1; e <= reachMoments; e++ {
			a, knownA := heard[claim{i - d, pass}]
			b, knownB := heard[claim{i + e, pass}]
			if knownA && knownB {
				share := (m.ms[i].at - m.ms[i-d].at) / (m.ms[i+e].at - m.ms[i-d].at)
				return a + share*(b-a)
			}
		}
	}
	return otherwise
}

func (m *matcher) partsDiffer() bool {
	for i := range m.score {
		if m.score[i].Part != m.score[0].Part {
			return true
		}
	}
	return false
}

// learnParts finds for each part of the performance the part of the score that it plays most.
func (m *matcher) learnParts() {
	counts := map[[2]uint16]int{}
	for k, j := range m.found {
		if j != None {
			counts[[2]uint16{m.take[k].Part, m.score[j].Part}]++
		}
	}
	m.part = map[uint16]uint16{}
	most := map[uint16]int{}
	for pair, n := range counts {
		if n > most[pair[0]] || n == most[pair[0]] && pair[1] < m.part[pair[0]] {
			most[pair[0]], m.part[pair[0]] = n, pair[1]
		}
	}
}
