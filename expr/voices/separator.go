package voices

import "time"

// Role is what a note is among the voices that sound together.
type Role uint8

const (
	Alone  Role = iota // one voice, and none that was heard just before
	Melody             // the voice that has the tune
	Inner
	Bass // the lowest, where that is not the melody
)

// Hand is the hand that would play a note at a keyboard.
type Hand uint8

const (
	Left Hand = iota
	Right
)

// MaxVoices is how many voices of one channel are told apart. A note beyond them joins
// the voice that is nearest.
const MaxVoices = 8

// Place is where a note stands in its moment.
type Place struct {
	Voice  int // 0 to 7; numbers say nothing of high and low, and are given again after a voice's end
	Voices int // voices that sound with its moment, its own included
	Role   Role
	Hand   Hand
}

// maxMoment bounds the notes of one moment, maxHeld those that sound, and maxKnown the
// latest notes whose places are known. What is beyond joins the nearest voice, sounds
// unnoticed, or is forgotten.
const (
	maxMoment = 32
	maxHeld   = 64
	maxKnown  = 128
)

// Separator tells apart the voices of one polyphonic channel: the hands and voices of a
// piano, divided players, chords.
//
// Keys are to be told as the fingers have them: a pedal that holds notes is not a voice.
// Notes outside MIDI's ranges and ends of notes that never began are passed over; a
// time before the latest counts as the latest.
type Separator struct {
	tune *Ensemble // of which the voices are the parts

	before, now [MaxVoices]voice // as of the last settled moment, and with the latest
	legato      bool             // a voice's note may outlast the beginning of its next
	moment      []struck         // the latest moment's notes, by rising key
	start       time.Duration
	open        bool

	held   []struck // notes that sound, and began before the latest moment
	hands  hands
	places [maxKnown]known
	last   int64 // number of the latest note, from 1
}

// struck is a note.
type struck struct {
	id       int64
	on, off  time.Duration // off is unknown while it sounds
	key      int
	velocity int
	voice    int
	hand     Hand
}

type known struct {
	id int64
	Place
}

// unknown is a time that has not come.
const unknown = -1

// sounds reports whether a note has not ended.
func (n *struck) sounds() bool { return n.off == unknown }

// NewSeparator makes a separator that has heard nothing.
func NewSeparator() *Separator {
	s := &Separator{
		tune:   NewEnsemble(MaxVoices),
		moment: make([]struck, 0, maxMoment),
		held:   make([]struck, 0, maxHeld+maxMoment),
	}
	s.Reset()
	return s
}

// Reset forgets all that was heard. Numbers of notes go on.
func (s *Separator) Reset() {
	s.tune.Reset()
	s.before, s.now = [MaxVoices]voice{}, [MaxVoices]voice{}
	s.legato, s.open, s.start = false, false, 0
	s.moment, s.held = s.moment[:0], s.held[:0]
	s.hands.reset()
	clear(s.places[:])
}

// Note hears a note begin and returns its voice as far as it can be told yet, and the
// number by which [Separator.VoiceOf] knows it. Notes come in the order of their times;
// those of one moment in any order. A note that is passed over has voice -1, number 0.
func (s *Separator) Note(at time.Duration, key, velocity int) (voice int, id int64) {
	if key < 0 || key > 127 || velocity < 1 || velocity > 127 {
		return nobody, 0
	}
	if !s.open || at-s.start > Together {
		s.close(at)
		s.start, s.open = max(at, s.start), true
	}
	s.last++
	n := struck{id: s.last, on: max(at, s.start), off: unknown, key: key, velocity: velocity}
	if len(s.moment) == maxMoment {
		n.voice = nearest(&s.now, key)
		s.know(&n, s.places[s.moment[0].id%maxKnown].Voices, Inner)
		return n.voice, n.id
	}
	i := len(s.moment)
	s.moment = append(s.moment, n)
	for ; i > 0 && s.moment[i-1].key > key; i-- {
		s.moment[i] = s.moment[i-1]
	}
	s.moment[i] = n
	s.solve()
	return s.moment[i].voice, n.id
}

// Off hears a note end: of equal keys, the eldest.
func (s *Separator) Off(at time.Duration, key int) {
	for i := range s.held {
		n := &s.held[i]
		if n.key != key || !n.sounds() {
			continue
		}
		n.off = max(at, n.on)
		s.fallSilent(n, n.off)
		if s.open && at-s.start <= longestOverlap {
			s.legato = s.legato || len(s.moment) == 1 && !s.holds()
			s.solve()
		}
		return
	}
	for i := range s.moment {
		if n := &s.moment[i]; n.key == key && n.sounds() {
			n.off = max(at, n.on)
			s.fallSilent(n, n.off)
			return
		}
	}
}

// holds reports whether a note sounds that began before the latest moment.
func (s *Separator) holds() bool {
	for i := range s.held {
		if s.held[i].sounds() {
			return true
		}
	}
	return false
}

// fallSilent tells the voice of a note that it has ended, if it is its latest.
func (s *Separator) fallSilent(n *struck, at time.Duration) {
	for v := range s.now {
		if s.before[v].note == n.id {
			s.before[v].off = at
			s.tune.parts[v].was = 0
		}
		if s.now[v].note == n.id {
			s.now[v].off = at
			s.tune.silence(v, at)
		}
	}
}

// Settle closes the latest moment if a note at the given time would not be of it. The
// places of its notes stay as they are.
func (s *Separator) Settle(at time.Duration) {
	if s.open && at-s.start > Together {
		s.close(at)
	}
}

// close makes the latest moment part of what was.
func (s *Separator) close(at time.Duration) {
	if !s.open {
		return
	}
	if s.legato && at-s.start > longestOverlap && s.overheld() {
		s.legato = false
		s.solve()
	}
	s.open = false
	s.tune.settle()
	s.before = s.now
	s.hands.keep()
	kept := s.held[:0]
	for _, n := range s.held {
		if n.sounds() {
			kept = append(kept, n)
		}
	}
	for _, n := range s.moment {
		if n.sounds() {
			kept = append(kept, n)
		}
	}
	if over := len(kept) - maxHeld; over > 0 {
		for i := range over {
			s.fallSilent(&kept[i], at)
		}
		kept = kept[:copy(kept, kept[over:])]
	}
	s.held, s.moment = kept, s.moment[:0]
}

// overheld reports whether a note still sounds that its voice was thought to have left.
func (s *Separator) overheld() bool {
	for i := range s.held {
		n := &s.held[i]
		if n.sounds() && s.before[n.voice].note == n.id && s.now[n.voice].note != n.id {
			return true
		}
	}
	return false
}

// VoiceOf is the place of a note, by its number; false if it is none or is long past.
func (s *Separator) VoiceOf(id int64) (Place, bool) {
	if id <= 0 || s.places[id%maxKnown].id != id {
		return Place{}, false
	}
	return s.places[id%maxKnown].Place, true
}

func (s *Separator) know(n *struck, voices int, role Role) {
	s.places[n.id%maxKnown] = known{n.id, Place{Voice: n.voice, Voices: voices, Role: role, Hand: n.hand}}
}

// Melody is the voice that has the tune, and how sure that is: 0 where another is as
// salient, near 1 where none is; -1 and 0 before the first note. It changes only where
// another voice is clearly better.
func (s *Separator) Melody(at time.Duration) (voice int, confidence float64) {
	s.Settle(at)
	voice, _ = s.tune.Tune(at)
	if voice == nobody {
		return nobody, 0
	}
	paces := s.tune.clock.at(at)
	best, sure := s.tune.odds(voice, paces), 1.0
	for v := range s.now {
		if v != voice && s.now[v].alive() && s.tune.parts[v].now.heard > 0 {
			sure = min(sure, 2*logistic(best-s.tune.odds(v, paces))-1)
		}
	}
	return voice, max(sure, 0)
}
