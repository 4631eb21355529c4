package voices

import (
	"math"
	"time"
)

// voice is a succession of notes of one channel.
type voice struct {
	note    int64 // its latest note; 0: no voice is here
	on, off time.Duration
	key     int
	mean    float64 // running mean of its keys
	notes   int
	step    time.Duration // from the onset before its last to its last
	hand    Hand          // that played its latest note
}

func (v *voice) alive() bool  { return v.note != 0 }
func (v *voice) sounds() bool { return v.alive() && v.off == unknown }

// What it costs to hear a note as the next of a voice, in semitones. Ours, not
// published; found by trial on the passages and random textures of the tests.
const (
	costMean   = 0.25 // per semitone from the mean of the voice
	costStep   = 5.5  // per octave of the time from onset to onset against the time before
	mostStep   = 1.5  // octaves
	costPause  = 0.4  // per pace since it fell silent
	mostPause  = 16.0 // paces
	costCross  = 16.0 // for each voice that sounds and is passed
	costHeld   = 4.0  // where it still sounds, and voices are known to be slurred
	costNew    = 32.0 // for a new voice
	costLeft   = 5.0  // for a voice that has just ended and is not gone on with
	impossible = 1e6
)

// A voice may outlast the beginning of its next note by so much, and is given up when
// it has been silent for so many paces.
const (
	longestOverlap = 100 * time.Millisecond
	forgotten      = 24.0
)

// solve gives the notes of the latest moment to the voices: as the cheapest way of
// going on with those that rise in pitch as the notes do.
func (s *Separator) solve() {
	s.now = s.before
	order, live := s.order()
	n := len(s.moment)

	var cost [maxMoment + 1][MaxVoices + 1]float64
	var way [maxMoment + 1][MaxVoices + 1]uint8
	const (
		skip = iota // the voice is not gone on with
		fresh
		join
	)
	for i := 0; i <= n; i++ {
		for j := 0; j <= live; j++ {
			if i == 0 && j == 0 {
				continue
			}
			best := math.Inf(1)
			if j > 0 {
				best, way[i][j] = cost[i][j-1]+s.leaving(order[j-1]), skip
			}
			if i > 0 {
				if c := cost[i-1][j] + costNew; c < best {
					best, way[i][j] = c, fresh
				}
			}
			if i > 0 && j > 0 {
				if c := cost[i-1][j-1] + s.joining(&s.moment[i-1], order[j-1]); c < best {
					best, way[i][j] = c, join
				}
			}
			cost[i][j] = best
		}
	}
	for i := range s.moment {
		s.moment[i].voice = nobody
	}
	for i, j := n, live; i > 0 || j > 0; {
		switch way[i][j] {
		case skip:
			j--
		case fresh:
			i--
		case join:
			i, j = i-1, j-1
			s.moment[i].voice = order[j]
			s.now[order[j]].take(&s.moment[i])
		}
	}
	for i := n - 1; i >= 0; i-- {
		if note := &s.moment[i]; note.voice == nobody {
			s.found(note)
		}
	}
	s.assess()
}

// order lists the voices that may be gone on with, by rising key, and gives up those
// that are long silent.
func (s *Separator) order() (order [MaxVoices]int, live int) {
	for v := range s.now {
		w := &s.now[v]
		if w.alive() && !w.sounds() && s.pause(w) > forgotten {
			*w = voice{}
		}
		if !w.alive() {
			continue
		}
		i := live
		for ; i > 0 && s.now[order[i-1]].key > w.key; i-- {
			order[i] = order[i-1]
		}
		order[i] = v
		live++
	}
	return order, live
}

// pause is how long a voice has been silent when the latest moment begins, in paces.
func (s *Separator) pause(v *voice) float64 {
	pace := s.tune.clock.pace
	if pace == 0 || v.sounds() {
		return 0
	}
	return max(float64(s.start-v.off), 0) / pace
}

// joining is what it costs to hear a note as the next of a voice.
func (s *Separator) joining(n *struck, v int) float64 {
	w := &s.before[v]
	c := math.Abs(float64(n.key-w.key)) + costMean*math.Abs(float64(n.key)-w.mean)
	if w.sounds() && w.key != n.key {
		if !s.legato {
			return impossible
		}
		c += costHeld
	}
	for o := range s.before {
		if other := &s.before[o]; o != v && other.sounds() && (other.key-w.key)*(other.key-n.key) < 0 {
			c += costCross
		}
	}
	if w.step > 0 {
		change := math.Abs(math.Log2(float64(n.on-w.on) / float64(w.step)))
		c += costStep * min(change, mostStep)
	}
	return c + costPause*min(s.pause(w), mostPause)
}

// leaving is what it costs not to go on with a voice.
func (s *Separator) leaving(v int) float64 {
	if w := &s.before[v]; !w.sounds() {
		return costLeft / (1 + s.pause(w))
	}
	return 0
}

// take goes on with a voice.
func (v *voice) take(n *struck) {
	if v.notes++; v.notes > 1 {
		v.step = n.on - v.on
	}
	toward(&v.mean, float64(n.key), v.notes)
	v.note, v.on, v.off, v.key = n.id, n.on, n.off, n.key
}

// found begins a voice with a note. With none to spare, it takes the place of the one
// that is silent longest; if all sound, the note joins the nearest.
func (s *Separator) found(n *struck) {
	spare := nobody
	for v := range s.now {
		w := &s.now[v]
		if !w.alive() {
			spare = v
			break
		}
		if !w.sounds() && !s.taken(v) && (spare == nobody || w.off < s.now[spare].off) {
			spare = v
		}
	}
	if spare == nobody {
		n.voice = nearest(&s.now, n.key)
		return
	}
	n.voice = spare
	s.now[spare] = voice{}
	s.now[spare].take(n)
}

// taken reports whether a voice has a note of the latest moment.
func (s *Separator) taken(v int) bool {
	for i := range s.moment {
		if s.moment[i].voice == v {
			return true
		}
	}
	return false
}

// nearest is the voice whose latest note is nearest to a key.
func nearest(all *[MaxVoices]voice, key int) int {
	best, far := 0, math.MaxInt
	for v := range all {
		if d := all[v].key - key; all[v].alive() && max(d, -d) < far {
			best, far = v, max(d, -d)
		}
	}
	return best
}
