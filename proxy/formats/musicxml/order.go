package musicxml

import "slices"

// volta is an ending over some measures, for some times through a repeat.
type volta struct {
	from, to int
	times    uint64 // as bits; 0 for any
	of       *group
}

// group is the endings of one repeat, one after the other.
type group struct {
	times uint64 // of all
	total int    // times that the section is played
	last  *volta
}

// voltas finds the endings, and which of them each measure lies in.
func voltas(frames []frame) []*volta {
	in := make([]*volta, len(frames))
	var open, before *volta
	for k := range frames {
		f := &frames[k]
		if f.starts {
			open = &volta{from: k, to: k, times: f.ending}
			if before != nil && before.to == k-1 && frames[k-1].backward > 0 {
				open.of = before.of
			} else {
				open.of = &group{}
			}
			open.of.times |= open.times
			open.of.last = open
			before = open
		}
		if open == nil {
			continue
		}
		in[k], open.to = open, k
		if f.ends || f.backward > 0 {
			open = nil
		}
	}
	for _, v := range in {
		if v == nil {
			continue
		}
		total := 1
		for n := range maxTimes + 1 {
			if v.of.times&(1<<n) != 0 {
				total = n
			}
		}
		if frames[v.of.last.to].backward > 0 && v.of.alone(in) {
			total++ // what follows is the second ending, without a bracket
		}
		v.of.total = total
	}
	return in
}

// alone reports whether the group has one ending.
func (g *group) alone(in []*volta) bool {
	before := g.last.from - 1
	return before < 0 || in[before] == nil || in[before].of != g
}

// sounds reports whether an ending is played in a pass.
func (v *volta) sounds(pass int, frames []frame) bool {
	if v.times == 0 || v.times&(1<<min(pass, maxTimes)) != 0 {
		return true
	}
	// A time that no ending names is played over to what follows the repeat.
	return v.of.times&(1<<min(pass, maxTimes)) == 0 && frames[v.to].backward == 0
}

// walk plays the measures in their order.
type walk struct {
	r      *score
	voltas []*volta
	order  []played
	start  int  // where the present section began
	pass   int  // through it
	jumped bool // by a da capo or dal segno
	origin int  // the measure of that
	until  int  // the first measure after the end of what the jump has played again; unsaid
	done   map[int]bool

	movements []int // the measures with which they start
}

// order is the order in which the measures are played: repeats, endings, da capo, dal
// segno, al fine, al coda. Signs are taken to stand at the end of their measure, segno, coda and
// the start of a repeat at its beginning. After a jump, repeats are not played again unless
// the repeat says so (after-jump), and the last ending is taken. A da capo or dal segno is
// followed once. It stays in its movement: see movements. After a Fine, what stands after the
// jump goes on, as a file may hold several pieces. A measure that is never played is named in a warning.
func (r *score) order() ([]played, error) {
	for k := range r.frames {
		if r.frames[k].forwardNext && k+1 < len(r.frames) {
			r.frames[k+1].forward = true
		}
	}
	w := &walk{r: r, voltas: voltas(r.frames), pass: 1, until: unsaid, done: map[int]bool{}, movements: r.frames.movements()}
	for k := 0; k < len(r.frames); {
		if len(w.order) == maxMeasures {
			return nil, refused("the repeats play out to over %d measures: check how many times they are played", maxMeasures)
		}
		var on bool
		if k, on = w.step(k); !on {
			break
		}
	}
	if never := r.frames.unplayed(w.order); len(never) > 0 {
		r.note(&SyntaxError{}, "no repeat, ending or jump leads to some measures, and they are never played: %s; look at the repeats and jumps of the score", r.frames.listed(never))
	}
	return w.order, nil
}

// step plays a measure, or leaves out an ending, and is the next measure; it reports
// whether the piece goes on.
func (w *walk) step(k int) (next int, on bool) {
	frames := w.r.frames
	f := &frames[k]
	if k == w.until {
		k = w.goOn(w.origin + 1)
		return k, k < len(frames)
	}
	if !w.jumped && k != w.start && f.movement || w.jumped && k == w.movementAfter(w.origin) {
		w.goOn(k)
	}
	if f.forward && k != w.start {
		w.start, w.pass = k, 1
	}
	v := w.voltas[k]
	if v != nil && v.from == k {
		if w.jumped && !frames[v.to].afterJump {
			w.pass = max(w.pass, v.of.total)
		}
		if !v.sounds(w.pass, frames) {
			if v == v.of.last {
				w.start, w.pass = v.to+1, 1
			}
			return v.to + 1, true
		}
	}
	w.order = append(w.order, played{measure: k, pass: w.pass})
	pass := w.pass
	if w.jumped && f.tocoda.set {
		if to, ok := w.find(f.tocoda.to, func(f *frame) []string { return f.coda }, k+1); ok {
			return w.goOn(to), true // the coda is new, and its repeats are played
		}
		w.r.note(w.at(k), "no coda is marked %.40q, and the jump to it is left out", f.tocoda.to)
	}
	if w.jumped && f.fine {
		next := w.goOn(max(w.origin, k) + 1)
		return next, next < len(frames)
	}
	if f.backward > 0 {
		if again := w.again(f, v); again {
			w.pass++
			return w.start, true
		}
		w.start, w.pass = k+1, 1
	}
	switch {
	case w.done[k]:
	case f.dacapo.set && f.dacapo.in(pass):
		w.done[k] = true
		to := w.capo(k)
		w.jump(to, k)
		return to, true
	case f.dalsegno.set && f.dalsegno.in(pass):
		w.done[k] = true
		segno := func(f *frame) []string { return f.segno }
		to, ok := w.find(f.dalsegno.to, segno, w.capo(k))
		if ok && to > k {
			to, ok = w.find(f.dalsegno.to, segno, 0)
		}
		if ok {
			w.jump(to, k)
			return to, true
		}
		w.r.note(w.at(k), "no segno is marked %.40q, and the jump to it is left out", f.dalsegno.to)
	}
	if v != nil && v.to == k {
		w.start, w.pass = k+1, 1
	}
	return k + 1, true
}

// again reports whether the section that ends here is to be played once more.
func (w *walk) again(f *frame, v *volta) bool {
	if w.jumped && !f.afterJump {
		return false
	}
	if v != nil && v.times != 0 {
		return w.pass < v.of.total
	}
	return w.pass < f.backward
}

// goOn plays what is new, after a jump or in another movement.
func (w *walk) goOn(k int) int {
	w.start, w.pass, w.jumped, w.until = k, 1, false, unsaid
	return k
}

// jump goes from the end of a measure back to the start of another.
func (w *walk) jump(to, from int) {
	w.jumped, w.origin = true, from
	w.until = w.r.frames.middle(to, from)
	w.start, w.pass = to, 1
	for k := to; k > 0; k-- {
		if w.r.frames[k].forward {
			w.start = k
			break
		}
	}
}

// in reports whether a jump holds in a pass.
func (j jump) in(pass int) bool { return j.times == 0 || j.times&(1<<min(pass, maxTimes)) != 0 }

// capo is the start of the movement in which a measure lies.
func (w *walk) capo(k int) int {
	i, found := slices.BinarySearch(w.movements, k)
	if found {
		return k
	}
	return w.movements[i-1]
}

// movementAfter is the start of the movement after that of a measure; the end of the piece if there is none.
func (w *walk) movementAfter(k int) int {
	i, found := slices.BinarySearch(w.movements, k)
	if found {
		i++
	}
	if i < len(w.movements) {
		return w.movements[i]
	}
	return len(w.r.frames)
}

// unplayed are the measures that are in no order.
func (fs frames) unplayed(order []played) []int {
	is := make([]bool, len(fs))
	for _, o := range order {
		is[o.measure] = true
	}
	var never []int
	for k := range is {
		if !is[k] {
			never = append(never, k)
		}
	}
	return never
}

// find is the measure of a mark by its name, from a measure on; where none has that name it
// is the first of any name.
func (w *walk) find(name string, names func(f *frame) []string, from int) (int, bool) {
	other := unsaid
	for k := from; k < len(w.r.frames); k++ {
		for _, n := range names(&w.r.frames[k]) {
			if n == name {
				return k, true
			}
			if other == unsaid {
				other = k
			}
		}
	}
	return other, other != unsaid
}

func (w *walk) at(k int) *SyntaxError { return &SyntaxError{Measure: w.r.frames[k].name} }
