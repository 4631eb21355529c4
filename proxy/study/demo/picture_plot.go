package demo

import (
	"cmp"
	"math"
	"slices"
	"time"
)

// plot is the scales that all rows share.
type plot struct {
	end    time.Duration
	lo, hi float64 // dB at the bottom and the top of a row
	deep   float64 // cents at the top of the vibrato's band
	bars   []time.Duration
}

const (
	maxSpanDB  = 60 // a row shows no more; what is below lies on its floor
	minSpanDB  = 20
	tickRoomDB = 40 // up to this span a tick every 10 dB, then every 20
)

func newPlot(view View) *plot {
	p := &plot{end: view.End, bars: view.Bars, lo: math.Inf(1), hi: math.Inf(-1)}
	last := time.Duration(1)
	for _, part := range view.Parts {
		for _, s := range slices.Concat(part.Raw, part.Shaped) {
			last = max(last, s.At)
			if !math.IsNaN(s.Value) && !math.IsInf(s.Value, 0) {
				p.lo, p.hi = min(p.lo, s.Value), max(p.hi, s.Value)
			}
		}
		for _, s := range part.Vibrato {
			last = max(last, s.At)
			if !math.IsNaN(s.Value) && !math.IsInf(s.Value, 0) {
				p.deep = max(p.deep, s.Value)
			}
		}
		for _, n := range part.Notes {
			last = max(last, n.To)
		}
	}
	if p.end <= 0 {
		p.end = last
	}
	if p.lo > p.hi {
		p.lo, p.hi = 0, 0
	}
	p.hi = math.Ceil(p.hi/5) * 5
	p.lo = max(math.Floor(min(p.lo, p.hi-minSpanDB)/5)*5, p.hi-maxSpanDB)
	p.deep = max(20, math.Ceil(p.deep/20)*20)
	return p
}

// x is where a moment lies.
func (p *plot) x(at time.Duration) float64 {
	return plotLeft + plotWidth*float64(at)/float64(p.end)
}

// y is where a level lies under the top of its row.
func (p *plot) y(db float64) float64 {
	db = min(max(db, p.lo), p.hi)
	return levelTop + levelHeight*(p.hi-db)/(p.hi-p.lo)
}

// levels are the ticks of the level axis, from the top; one of them is 0 dB, the
// instrument's mf, if the axis reaches it.
func (p *plot) levels() []float64 {
	step := 10.0
	if p.hi-p.lo > tickRoomDB {
		step = 20
	}
	var out []float64
	for v := math.Floor(p.hi/step) * step; v >= p.lo; v -= step {
		out = append(out, v)
	}
	return out
}

// barStep is how many bars lie between two bar numbers: none closer than 60 pixels.
func (p *plot) barStep() int {
	for _, n := range []int{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000} {
		if plotWidth*n >= 60*len(p.bars) {
			return n
		}
	}
	return len(p.bars)
}

// timeStep is the time between two labels of the time axis: none closer than 75 pixels.
func (p *plot) timeStep() time.Duration {
	for _, s := range []int{1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1200, 1800, 3600} {
		step := time.Duration(s) * time.Second
		if plotWidth*float64(step)/float64(p.end) >= 75 {
			return step
		}
	}
	return max(p.end/12, 1)
}

// column is one pixel of a line: the mean over the time that counts in it.
type column struct {
	value float64
	known bool
}

// columns brings samples to one value a pixel. Only the time within spans, which
// are disjoint and in order, counts.
func (p *plot) columns(samples []Sample, spans []Span) []column {
	if !slices.IsSortedFunc(samples, earlier) {
		samples = slices.Clone(samples)
		slices.SortStableFunc(samples, earlier)
	}
	var sum, weight [plotWidth]float64
	i := 0
	for _, s := range spans {
		for at := s.From; at < s.To && i < len(samples); {
			if i+1 < len(samples) && samples[i+1].At <= at {
				i++
				continue
			}
			to := s.To
			if i+1 < len(samples) {
				to = min(to, samples[i+1].At)
			}
			from := max(at, samples[i].At)
			if v := samples[i].Value; from < to && !math.IsNaN(v) && !math.IsInf(v, 0) {
				p.spread(from, to, v, &sum, &weight)
			}
			at = to
		}
	}
	out := make([]column, plotWidth)
	for x := range out {
		if weight[x] > 0 {
			out[x] = column{sum[x] / weight[x], true}
		}
	}
	return out
}

// spread adds a value that holds for a while to the pixels that it touches.
func (p *plot) spread(from, to time.Duration, v float64, sum, weight *[plotWidth]float64) {
	a, b := p.x(from)-plotLeft, p.x(to)-plotLeft
	for x := int(a); x < plotWidth && float64(x) < b; x++ {
		w := min(b, float64(x+1)) - max(a, float64(x))
		sum[x] += w * v
		weight[x] += w
	}
}

func earlier(a, b Sample) int { return cmp.Compare(a.At, b.At) }

// sounding is the time in which at least one of the notes sounds, all of it if
// there are none.
func (p *plot) sounding(notes []Span) []Span {
	if len(notes) == 0 {
		return []Span{{0, p.end}}
	}
	notes = slices.Clone(notes)
	slices.SortFunc(notes, func(a, b Span) int { return cmp.Compare(a.From, b.From) })
	var out []Span
	for _, n := range notes {
		n = Span{max(n.From, 0), min(n.To, p.end)}
		switch last := len(out) - 1; {
		case n.From >= n.To:
		case last >= 0 && n.From <= out[last].To:
			out[last].To = max(out[last].To, n.To)
		default:
			out = append(out, n)
		}
	}
	return out
}
