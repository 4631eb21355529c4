package pace

import "math"

// series is one number a beat.
type series []float64

// sums are the sums of a series up to each place.
func (s series) sums() series {
	c := make(series, len(s)+1)
	for i, x := range s {
		c[i+1] = c[i] + x
	}
	return c
}

// mean is the mean of a stretch, which is held within the piece.
func (c series) mean(from, to int) float64 {
	n := len(c) - 1
	from, to = min(max(from, 0), n-1), max(min(to, n), 1)
	if to <= from {
		to = from + 1
	}
	return (c[to] - c[from]) / float64(to-from)
}

// around is the running mean over so many beats to either side.
func (s series) around(w int) series {
	c, o := s.sums(), make(series, len(s))
	for i := range s {
		o[i] = c.mean(i-w, i+w+1)
	}
	return o
}

// before and after are the means of so many beats before and after each.
func (s series) before(w int) series {
	c, o := s.sums(), make(series, len(s))
	for i := range s {
		o[i] = c.mean(i-w, max(i, 1))
	}
	return o
}

func (s series) after(w int) series {
	c, o := s.sums(), make(series, len(s))
	for i := range s {
		o[i] = c.mean(min(i+1, len(s)-1), i+1+w)
	}
	return o
}

// at is the series as it is so many beats later, held at the ends.
func (s series) at(d int) series {
	o := make(series, len(s))
	for i := range s {
		o[i] = s[min(max(i+d, 0), len(s)-1)]
	}
	return o
}

func (s series) less(t series) series {
	return s.with(t, func(a, b float64) float64 { return a - b })
}

func (s series) times(t series) series {
	return s.with(t, func(a, b float64) float64 { return a * b })
}

func (s series) with(t series, f func(a, b float64) float64) series {
	o := make(series, len(s))
	for i := range s {
		o[i] = f(s[i], t[i])
	}
	return o
}

func (s series) each(f func(x float64) float64) series {
	o := make(series, len(s))
	for i, x := range s {
		o[i] = f(x)
	}
	return o
}

func (s series) mul(k float64) series { return s.each(func(x float64) float64 { return k * x }) }

func (s series) log() series { return s.each(math.Log1p) }

func (s series) over(x float64) series {
	return s.each(func(v float64) float64 { return flag(v > x) })
}

// above is what of a series is over 0.
func (s series) above() series { return s.each(func(x float64) float64 { return max(x, 0) }) }

func (s series) mean1() float64 { return s.sums().mean(0, len(s)) }

func (s series) deviation() float64 {
	m, sum := s.mean1(), 0.0
	for _, x := range s {
		sum += (x - m) * (x - m)
	}
	return math.Sqrt(sum / float64(max(len(s), 1)))
}

// steps are the differences to the beat before.
func (s series) steps() series {
	o := make(series, len(s))
	for i := 1; i < len(s); i++ {
		o[i] = s[i] - s[i-1]
	}
	return o
}

// towards rises to an event: 1 on the beat before it, less by a factor of e every h beats
// further before. since falls from an event on, likewise.
func (s series) towards(h float64) series {
	o, c, fall := make(series, len(s)), 0.0, math.Exp(-1/h)
	for i := len(s) - 1; i >= 0; i-- {
		c *= fall
		if i+1 < len(s) {
			c = max(c, s[i+1])
		}
		o[i] = c
	}
	return o
}

func (s series) since(h float64) series {
	o, c, fall := make(series, len(s)), 0.0, math.Exp(-1/h)
	for i := range s {
		c = max(c*fall, s[i])
		o[i] = c
	}
	return o
}

// filled has gaps, which are NaN, bridged by straight lines.
func (s series) filled() series {
	last := -1
	for i, x := range s {
		if math.IsNaN(x) {
			continue
		}
		for j := last + 1; j < i; j++ {
			if last < 0 {
				s[j] = x
			} else {
				s[j] = s[last] + (x-s[last])*float64(j-last)/float64(i-last)
			}
		}
		last = i
	}
	for j := last + 1; j < len(s); j++ {
		s[j] = 0
		if last >= 0 {
			s[j] = s[last]
		}
	}
	return s
}

func flag(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
