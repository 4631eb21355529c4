package musicxml

// played is a measure as it is played.
type played struct {
	measure int
	pass    int   // which time through its repeat, from 1
	at      int64 // ticks since the start
}

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
	r      *reader
	voltas []*volta
	order  []played
	start  int  // where the present section began
	pass   int  // through it
	jumped bool // by a da capo or dal segno
	done   map[int]bool
}

// order is the order in which the measures are played: repeats, endings, da capo, dal
// segno, al fine, al coda. Signs are taken to stand at the end of their measure, segno, coda and
// the start of a repeat at its beginning. After a jump, repeats are not played again unless
// the repeat says so (after-jump), and the last ending is taken. A da capo or dal segno is
// followed once.
func (r *reader) order() ([]played, error) {
	for k := range r.frames {
		if r.frames[k].forwardNext && k+1 < len(r.frames) {
			r.frames[k+1].forward = true
		}
	}
	w := &walk{r: r, voltas: voltas(r.frames), pass: 1, done: map[int]bool{}}
	for k := 0; k < len(r.frames); {
		if len(w.order) == maxMeasures {
			return nil, refused("the repeats play out to over %d measures: check how many times they are played", maxMeasures)
		}
		var on bool
		if k, on = w.step(k); !on {
			break
		}
	}
	return w.order, nil
}

// step plays a measure, or leaves out an ending, and is the next measure; it reports
// whether the piece goes on.
func (w *walk) step(k int) (next int, on bool) {
	frames := w.r.frames
	f := &frames[k]
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
		if to, ok := w.find(f.tocoda.to, func(f *frame) []string { return f.coda }, k); ok {
			w.start, w.pass, w.jumped = to, 1, false // the coda is new, and its repeats are played
			return to, true
		}
		w.r.note(w.at(k), "no coda is marked %.40q, and the jump to it is left out", f.tocoda.to)
	}
	if w.jumped && f.fine {
		return 0, false
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
		w.jump(0)
		return 0, true
	case f.dalsegno.set && f.dalsegno.in(pass):
		w.done[k] = true
		if to, ok := w.find(f.dalsegno.to, func(f *frame) []string { return f.segno }, -1); ok {
			w.jump(to)
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

func (w *walk) jump(to int) {
	w.jumped = true
	w.start, w.pass = 0, 1
	for k := to; k > 0; k-- {
		if w.r.frames[k].forward {
			w.start = k
			break
		}
	}
}

// in reports whether a jump holds in a pass.
func (j jump) in(pass int) bool { return j.times == 0 || j.times&(1<<min(pass, maxTimes)) != 0 }

// find is the measure of a mark by its name, after a measure; where none has that name it
// is the first of any name.
func (w *walk) find(name string, names func(f *frame) []string, after int) (int, bool) {
	other := unsaid
	for k := after + 1; k < len(w.r.frames); k++ {
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
