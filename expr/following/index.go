package following

import (
	"cmp"
	"math"
	"slices"
	"time"

	"swellbox/expr"
)

const (
	keys     = 128
	maxParts = 1024 // told apart; parts beyond share the last
)

// simultaneous is how far apart notes of one moment may begin, in seconds of the score.
const simultaneous = 0.005

// written is a note of the score as it is looked for.
type written struct {
	on   float64 // seconds at the written tempo
	note int32   // index into Score.Notes
	part uint16  // counted from 0 without gaps
	key  uint8
}

// same reports whether another note is this one again, so much later in the score.
func (w *written) same(o *written, shift float64) bool {
	return w.key == o.key && w.part == o.part && math.Abs(o.on-w.on-shift) <= simultaneous
}

// list is where one key is played, in the order of time.
type list struct {
	on []float64
	at []int32 // indices into index.notes
}

// index is the score by time, by key, and by part and key.
type index struct {
	score   *expr.Score
	notes   []written           // in the order of on
	byKey   []list              // by key
	byPart  []list              // by part*keys+key
	share   []float64           // of all notes: the part's
	often   []float64           // by part*keys+key: share of the part's notes, smoothed
	usual   [keys]float64       // share of all notes, smoothed
	address map[uint32][]uint16 // the parts by port and channel as the score has them
}

func seconds(d time.Duration) float64 { return float64(d) / float64(time.Second) }

func newIndex(s *expr.Score) *index {
	x := &index{score: s, byKey: make([]list, keys), address: map[uint32][]uint16{}}
	dense := map[uint16]uint16{}
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.Key >= keys || n.Channel > 15 {
			continue
		}
		part, known := dense[n.Part]
		if !known {
			part = uint16(min(len(dense), maxParts-1))
			dense[n.Part] = part
		}
		a := address(n.Port, n.Channel)
		if !slices.Contains(x.address[a], part) {
			x.address[a] = append(x.address[a], part)
		}
		x.notes = append(x.notes, written{on: seconds(n.On), note: int32(i), part: part, key: n.Key})
	}
	slices.SortStableFunc(x.notes, func(a, b written) int { return cmp.Compare(a.on, b.on) })
	x.list(min(len(dense), maxParts))
	return x
}

// list fills the lists and the shares.
func (x *index) list(parts int) {
	x.byPart = make([]list, parts*keys)
	x.share = make([]float64, parts)
	x.often = make([]float64, parts*keys)
	for i := range x.notes {
		n := &x.notes[i]
		x.byKey[n.key].add(n.on, int32(i))
		x.byPart[int(n.part)*keys+int(n.key)].add(n.on, int32(i))
		x.share[n.part]++
	}
	// A key that a part never plays counts as half a note, of a range of two octaves.
	const half, compass = 0.5, 24
	for p := range parts {
		for k := range keys {
			n := float64(len(x.byPart[p*keys+k].on))
			x.often[p*keys+k] = (n + half) / (x.share[p] + half*compass)
		}
		x.share[p] /= float64(len(x.notes))
	}
	for k := range keys {
		x.usual[k] = (float64(len(x.byKey[k].on)) + half) / (float64(len(x.notes)) + half*compass)
	}
}

func (l *list) add(on float64, at int32) {
	l.on = append(l.on, on)
	l.at = append(l.at, at)
}

// from is the first note that does not sound before a time.
func (x *index) from(on float64) int {
	i, _ := slices.BinarySearchFunc(x.notes, on, func(n written, on float64) int { return cmp.Compare(n.on, on) })
	return i
}

func address(port uint16, channel uint8) uint32 { return uint32(port)<<4 | uint32(channel) }

// pageNotes is how many notes two places on the page must have in common, besides the number of the bar. Ours.
const pageNotes = 4

// sameNotes reports whether the next few notes of the score from two of them are the same.
func (x *index) sameNotes(a, b int) bool {
	notes := x.notes
	if max(a, b)+pageNotes > len(notes) {
		return false
	}
	shift := notes[b].on - notes[a].on
	for i := range pageNotes {
		if !notes[a+i].same(&notes[b+i], shift) {
			return false
		}
	}
	return true
}

// Two places are before the same music if so much of it is. Ours.
const (
	ahead      = 2.0 // seconds of the score
	aheadNotes = 12  // and at least so many notes
	aheadMost  = 512 // though no more than these are compared
)

// sameAhead reports whether the score goes on alike from two notes, for long enough
// that habits that look ahead see the same.
func (x *index) sameAhead(a, b int) bool {
	notes := x.notes
	if a > b {
		a, b = b, a
	}
	shift := notes[b].on - notes[a].on
	for i := range aheadMost {
		if b+i == len(notes) || !notes[a+i].same(&notes[b+i], shift) {
			return false
		}
		if i >= aheadNotes && notes[b+i].on-notes[b].on > ahead {
			return true
		}
	}
	return false
}
