package pedalling

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// told is one call to a planner.
type told struct {
	what             byte // n note, o off, m mark, r reset
	at               time.Duration
	key, velocity    int
	length, next     time.Duration
	staccato, melody bool // staccato is the pedal down for a mark
}

// calls reads calls from bytes, five each: any bytes are some calls.
func calls(b []byte) (all []told) {
	var at time.Duration
	for ; len(b) >= 5; b = b[5:] {
		at += time.Duration(b[1]&0x7F) * time.Duration(1+b[1]>>7*15) * time.Millisecond
		c := told{at: at, key: 21 + int(b[2])%88, velocity: 1 + int(b[3])%127, length: Unknown, next: Unknown,
			staccato: b[0]&0x40 != 0, melody: b[0]&0x80 != 0}
		if b[4]&1 != 0 {
			c.length = time.Duration(b[4]) * 8 * time.Millisecond
		}
		if b[4]&2 != 0 {
			c.next = time.Duration(b[3]) * 8 * time.Millisecond
		}
		switch b[0] % 32 {
		case 0:
			c.what = 'r'
		case 1:
			c.what = 'm'
		default:
			if c.what = 'n'; b[0]%2 == 0 {
				c.what = 'o'
			}
		}
		all = append(all, c)
	}
	return all
}

func (c *told) tell(p *Planner) {
	switch c.what {
	case 'n':
		p.Note(c.at, c.key, c.velocity, c.length, c.next, c.staccato, c.melody)
	case 'o':
		p.Off(c.at, c.key)
	case 'm':
		p.Marked(c.at, c.staccato)
	case 'r':
		p.Reset(c.at)
	}
}

// check tells a planner of calls and finds what no foot does.
func check(kind Kind, half bool, all []told) error {
	often, seldom := New(kind, half, 1), New(kind, half, 1)
	var got []action
	var commanded []time.Duration // times at which the foot had to come up at once
	take := func(p *Planner, until, since time.Duration) error {
		for at, depth, ok := p.Pull(until); ok; at, depth, ok = p.Pull(until) {
			if at < since || at > until {
				return fmt.Errorf("pulled to %v after %v, a movement at %v", until, since, at)
			}
			got = append(got, action{at, depth})
		}
		return nil
	}
	depth := func() float64 {
		if len(got) == 0 {
			return 0
		}
		return got[len(got)-1].depth
	}
	var pulled time.Duration
	var down bool // the notation's pedal
	playing := map[int]int{}
	for _, c := range all {
		for at, ok := often.Next(); ok && at < c.at; at, ok = often.Next() {
			if err := take(often, at, pulled); err != nil {
				return err
			}
			pulled = at
		}
		before := len(got)
		c.tell(often)
		c.tell(seldom)
		switch c.what {
		case 'n':
			playing[c.key]++
		case 'o':
			playing[c.key] = max(0, playing[c.key]-1)
		case 'm', 'r':
			if c.what == 'r' {
				clear(playing)
			}
			down = c.what == 'm' && c.staccato
			commanded = append(commanded, c.at)
			if err := take(often, c.at, pulled); err != nil {
				return err
			}
			if pulled = c.at; depth() != 0 {
				return fmt.Errorf("the foot is at %v after it had to come up at %v", depth(), c.at)
			}
			before = len(got)
		}
		if down && len(got) > before {
			return fmt.Errorf("the foot moves while the notation's is down")
		}
	}
	var end time.Duration
	if len(all) > 0 {
		end = all[len(all)-1].at
	}
	for key, n := range playing {
		for range n {
			(&told{what: 'o', at: end, key: key}).tell(often)
			(&told{what: 'o', at: end, key: key}).tell(seldom)
		}
	}
	if err := take(often, end+maxTail+footGap, pulled); err != nil {
		return err
	}
	if depth() != 0 {
		return fmt.Errorf("the pedal stays at %v when all is over", depth())
	}
	if at, ok := often.Next(); ok {
		return fmt.Errorf("something is planned at %v when all is over", at)
	}
	want := got
	if got = nil; take(seldom, end+maxTail+footGap, 0) != nil || !slices.Equal(got, want) {
		return fmt.Errorf("pulled at the end: %v, often: %v", got, want)
	}
	for i, a := range got {
		last := action{}
		if i > 0 {
			last = got[i-1]
		}
		if a.depth == last.depth || a.depth == 0.5 && !half || a.depth != 0 && a.depth != 0.5 && a.depth != 1 {
			return fmt.Errorf("from %v to %v", last, a)
		}
		if i > 0 && a.at-last.at < footGap && !slices.Contains(commanded, a.at) {
			return fmt.Errorf("from %v to %v within %v", last, a, a.at-last.at)
		}
	}
	return nil
}

func seeds() (all [][]byte) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 64 {
		b := make([]byte, 1+5*random.IntN(120))
		for i := range b {
			b[i] = byte(random.UintN(256))
		}
		all = append(all, b)
	}
	return all
}

func FuzzPlanner(f *testing.F) {
	for _, b := range seeds() {
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		if len(b) == 0 {
			return
		}
		if err := check(Kind(b[0]%8), b[0]&8 != 0, calls(b[1:])); err != nil {
			t.Error(err)
		}
	})
}

func TestAnyCalls(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	moves := 0
	for range 500 {
		b := make([]byte, 5*random.IntN(200))
		for i := range b {
			b[i] = byte(random.UintN(256))
		}
		kind := Kind(1 + random.IntN(4))
		if err := check(kind, random.IntN(2) == 0, calls(b)); err != nil {
			t.Fatalf("%v, %x: %v", kind, b, err)
		}
		p := New(kind, false, 1)
		for _, c := range calls(b) {
			c.tell(p)
		}
		moves += len(p.foot.due)
	}
	if moves < 2000 {
		t.Errorf("the foot moved only %d times", moves)
	}
}

// Nothing but staccato: no pedal, whatever the notes.
func TestOnlyStaccato(t *testing.T) {
	for i, b := range seeds() {
		for kind := Piano; kind <= Vibraphone; kind++ {
			p := New(kind, true, 1)
			for _, c := range calls(b) {
				c.staccato = c.what != 'm'
				c.tell(p)
			}
			if at, depth, ok := p.Pull(time.Hour); ok {
				t.Errorf("seed %d, kind %d: the foot goes to %v at %v", i, kind, depth, at)
			}
		}
	}
}

// Music that comes later has its pedal later, by as much.
func TestTimeShift(t *testing.T) {
	const shift = 12345 * time.Microsecond
	for i, b := range seeds() {
		p, q := New(Piano, true, 1), New(Piano, true, 1)
		for _, c := range calls(b) {
			c.tell(p)
			c.at += shift
			c.tell(q)
		}
		p.Pull(time.Hour)
		q.Pull(time.Hour)
		for j := range p.foot.due {
			p.foot.due[j].at += shift
		}
		if !slices.Equal(p.foot.due, q.foot.due) {
			t.Errorf("seed %d: %v, shifted %v", i, p.foot.due, q.foot.due)
		}
	}
}

// endless plays about n notes of broken chords under a tune, from a time on, and gives the
// time at which it ends. Each is let go, and the foot pulled.
func endless(p *Planner, at time.Duration, n int) time.Duration {
	left := [...]int{48, 55, 52, 55, 50, 55, 53, 55, 47, 55, 50, 55, 48, 55, 52, 55}
	right := [...]int{76, 74, 72, 74, 79, 77, 76, 74}
	pull := func(until time.Duration) {
		for _, _, ok := p.Pull(until); ok; _, _, ok = p.Pull(until) {
		}
	}
	for i := 0; n > 0; i++ {
		low, high := left[i%len(left)], right[i/2%len(right)]
		if i%2 == 0 {
			p.Off(at, right[(i/2+7)%len(right)])
			p.Note(at, high, 80, 240*ms, 250*ms, false, true)
			n--
		}
		p.Note(at, low, 60, 120*ms, 125*ms, false, false)
		n--
		pull(at + 115*ms)
		p.Off(at+115*ms, low)
		at += 125 * ms
	}
	return at
}

func TestNoAllocation(t *testing.T) {
	p := New(Piano, true, 1)
	at := endless(p, 0, 400)
	if n := testing.AllocsPerRun(20, func() { at = endless(p, at, 100) }); n != 0 {
		t.Errorf("%v allocations in a hundred notes", n)
	}
}

func BenchmarkNote(b *testing.B) {
	p := New(Piano, true, 1)
	at := endless(p, 0, 400)
	b.ReportAllocs()
	b.ResetTimer()
	endless(p, at, b.N)
}
