package timing

import (
	"math"
	"time"

	"swellbox/expr/thresholds"
)

// MaxShift is the most by which a player of an [Ensemble] departs from the beat: ours,
// after the asynchrony from which the order of two onsets is sure to be heard (60 ms,
// Hirsh 1959 as told by Watson 2004).
const MaxShift = 60 * time.Millisecond

const (
	// pairGain is what a player makes good of the asynchrony to each other player by the
	// next note: the optimum of a quartet (Wing et al. 2014).
	pairGain = 0.25
	// sameMoment is the longest time between notes of one onset as they come in.
	sameMoment = thresholds.Wire
	// hearing is how long a player who rests is still heard by the others: ours.
	hearing = 2 * time.Second
)

// none ends a list of players.
const none = -1

// Ensemble keeps players together who each depart from the beat in their own way.
//
// From note to note a player i follows the phase correction of Wing et al. 2014 (from
// memory), t_i(n+1) = t_i(n) + T_i(n) - Σ_j α·(t_i(n) - t_j(n)), with 1/f deviations
// ([Noise]) as what the player's timekeeper T_i adds. The sum over all pairs is the gain
// α·N times the distance from the mean of the N players, so each player needs one number
// of the others. α·N is held at 1: a quartet's optimum of 0.25 makes good the whole
// distance in one note, and more would overshoot.
//
// The beat is the notation's, and an ensemble that drifts from it would pay for it at the
// end. So the deviations are taken as those of players who leave no common part: what they
// have in sum is taken off each in proportion to its variance. Players who play together
// thus have a mean shift of 0 from their second note on; in the first nobody knows yet who
// plays. One alone keeps to the beat with its own deviations.
//
// What comes out: by itself a player has the standard deviation that it was seated with;
// two of a quartet or of more players differ by √2 of it, two of a trio by 1.26·√2 and
// those of a duo by 1.74·√2 of it, since they correct less in a note and 1/f deviations add
// up. A trio of 20 ms differs by 36 ms, within the 27 to 49 ms of Rasch 1979; one of 10 ms
// by 18 ms, below it: Rasch's onsets hold the slopes of the attacks, which here the sample
// player adds.
//
// In which order players are asked at one moment makes no difference. A note costs the
// same among 2 players and among 256.
type Ensemble struct {
	seed    uint64
	players []player
	at      time.Duration // when the present moment began
	moment  int           // its number; 0 before the first
	heard   tally         // of the players heard when the moment began
	change  tally         // what has changed since
	first   int           // heard longest ago
	last    int           // heard latest
}

// player is one seat of an [Ensemble].
type player struct {
	noise    *Noise
	variance int64         // µs²; 0 takes no part
	shift    time.Duration // at its latest moment
	next     time.Duration // its next deviation, known beforehand
	at       time.Duration // its latest moment
	moment   int           // its number; 0 before the first
	heard    bool          // it is in the list of those heard:
	before   int
	after    int
	strays   strays
}

// tally sums over players. Whole numbers, so that no order of adding matters.
type tally struct {
	players  int64
	variance int64         // µs²
	shift    time.Duration // sum
	next     time.Duration // sum
}

func (t *tally) add(p *player, sign int64) {
	t.players += sign
	t.variance += sign * p.variance
	t.shift += time.Duration(sign) * p.shift
	t.next += time.Duration(sign) * p.next
}

// NewEnsemble makes an ensemble without players. Its seed, with the port and channel of
// each player, fixes all deviations.
func NewEnsemble(seed uint64) *Ensemble {
	return &Ensemble{seed: seed, first: none, last: none}
}

// Seat adds the player of a port and channel and returns its number, from 0 up. sd is
// the standard deviation of its own deviations, held within 0 and [MaxShift]; 0 keeps it on
// the beat and out of what others hear. Published: 10 ms (Hennig et al. 2011, from
// memory). For exponent see [NewNoise].
func (e *Ensemble) Seat(port uint16, channel uint8, sd time.Duration, exponent float64) int {
	e.players = append(e.players, player{})
	number := len(e.players) - 1
	e.Reseat(number, port, channel, sd, exponent)
	return number
}

// Reseat gives a seat to another player, or new habits to the one in it, who begins anew.
func (e *Ensemble) Reseat(number int, port uint16, channel uint8, sd time.Duration, exponent float64) {
	sd = min(max(sd, 0), MaxShift)
	if e.players[number].heard {
		e.settle()
		e.forget(number)
	}
	noise := NewNoise(Stream{e.seed, port, channel}, sd, exponent)
	e.players[number] = player{
		noise:    noise,
		variance: sd.Microseconds() * sd.Microseconds(),
		next:     noise.Next(),
		strays:   newStrays(noise.stream),
	}
}

// Restart begins the piece anew: every player is back at its first note.
func (e *Ensemble) Restart() {
	for i := range e.players {
		p := &e.players[i]
		p.noise.Restart()
		*p = player{noise: p.noise, variance: p.variance, next: p.noise.Next(), strays: newStrays(p.noise.stream)}
	}
	*e = Ensemble{seed: e.seed, players: e.players, first: none, last: none}
}

// Shift is by how much a player's note at a written time is late, within ±[MaxShift].
// Times must not go back. Notes up to 10 ms after the first of a moment belong to
// that moment; a player who is asked again in the same moment, as for a chord, gets
// the same answer. number is what [Ensemble.Seat] returned.
func (e *Ensemble) Shift(number int, at time.Duration) time.Duration {
	p := &e.players[number]
	if p.variance == 0 {
		return 0
	}
	if e.moment == 0 || at-e.at > sameMoment {
		e.begin(at)
	}
	if p.moment == e.moment {
		return p.shift
	}

	heard := e.heard
	distance := 0.0 // from the mean; whoever comes in comes in with the others
	if p.heard {
		distance = float64(p.shift) - float64(heard.shift)/float64(heard.players)
		e.change.add(p, -1)
		e.unlink(number)
	} else {
		heard.add(p, 1)
	}
	own := float64(p.next)
	if heard.players > 1 {
		own -= float64(heard.next) * float64(p.variance) / float64(heard.variance)
	}
	gain := min(pairGain*float64(heard.players), 1)
	shift := time.Duration(math.Round((1-gain)*distance + own))

	p.shift = min(max(shift, -MaxShift), MaxShift)
	p.next = p.noise.Next()
	p.at, p.moment = e.at, e.moment
	e.change.add(p, 1)
	e.link(number)
	return p.shift
}

// begin ends the present moment and begins the next.
func (e *Ensemble) begin(at time.Duration) {
	e.settle()
	e.at = at
	e.moment++
	for e.first != none && at-e.players[e.first].at > hearing {
		e.forget(e.first)
	}
}

// settle lets what has changed in the present moment be heard.
func (e *Ensemble) settle() {
	e.heard.players += e.change.players
	e.heard.variance += e.change.variance
	e.heard.shift += e.change.shift
	e.heard.next += e.change.next
	e.change = tally{}
}

// forget takes a player from among those heard.
func (e *Ensemble) forget(number int) {
	e.heard.add(&e.players[number], -1)
	e.unlink(number)
}

// link puts a player at the end of the list of those heard.
func (e *Ensemble) link(number int) {
	p := &e.players[number]
	p.heard, p.before, p.after = true, e.last, none
	if e.last == none {
		e.first = number
	} else {
		e.players[e.last].after = number
	}
	e.last = number
}

// unlink takes a player out of the list of those heard.
func (e *Ensemble) unlink(number int) {
	p := &e.players[number]
	if p.before == none {
		e.first = p.after
	} else {
		e.players[p.before].after = p.after
	}
	if p.after == none {
		e.last = p.before
	} else {
		e.players[p.after].before = p.before
	}
	p.heard = false
}

// SectionSD is the standard deviation of a section's onset where one part stands for so
// many players of standard deviation sd: what is heard of the section in time is the mean
// of its players, whose deviations are their own, so sd/√players. Fewer than one player
// count as one.
func SectionSD(sd time.Duration, players int) time.Duration {
	return time.Duration(float64(sd) / math.Sqrt(float64(max(players, 1))))
}
