package touch

import (
	"fmt"
	"math"
	"sort"
)

// size is what a term weighs where the marks of a score are known, and where only its notes
// are, each with its standard error.
type size struct{ scored, scoredSE, notes, notesSE float64 }

// row gathers the terms of one note. Names are only made for those who fit.
type row struct {
	values []float64
	names  []string
	naming bool
}

func (r *row) add(name string, x float64) {
	r.values = append(r.values, x)
	if r.naming {
		r.names = append(r.names, name)
	}
}

func (r *row) is(name string, b bool) { r.add(name, flag(b)) }

func flag(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// hinges are where the share of a length bends that a finger holds, log2 of seconds.
var hinges = [...]float64{-2.5, -2, -1.5, -1, -0.5, 0, 0.5, 1, 1.5}

// values are note values that have a way of their own, in quarter notes.
var values = [...]float64{0.25, 0.5, 1, 2, 4}

// terms gathers the terms of a note of a part. What they are re is given by their names.
func (p *part) terms(i int, r *row) {
	r.values = r.values[:0]
	n := &p.notes[i]
	quarters := n.Length
	seconds := max((n.Off - n.On).Seconds(), 1e-3)
	logs := math.Log(seconds + 0.02)
	r.add("notes: log of the length", logs)
	r.add("notes: the same, squared", logs*logs)
	for _, h := range hinges {
		r.add(fmtIf(r.naming, "notes: length over %.2f s", math.Exp2(h)), max(math.Log2(seconds+0.01)-h, 0))
	}
	r.add("notes: log of the note value", math.Log(quarters))
	for _, v := range values {
		r.is(fmtIf(r.naming, "notes: a value of %g quarters", v), math.Abs(quarters-v) < 0.02)
	}
	r.is("notes: shorter than a fifth of a quarter", quarters < 0.2)

	ioi := p.next[i]
	held := quarters > ioi*1.05
	r.add("notes: log of the length re the next onset", math.Log(max(quarters/max(ioi, 0.02), 0.1)))
	r.is("notes: held over the next onset", held)
	r.is("notes: ends before the next onset", quarters < ioi*0.95)
	r.add("notes: log of the onset-to-onset time re around", math.Log(ioi*p.pace+0.02)-p.meanIOI[i])
	size := float64(p.size[i])
	top, bottom := flag(p.top[i]), flag(p.bottom[i])
	key := (float64(n.Key) - 64) / 12
	r.add("notes: log of the chord's size", math.Log(size))
	r.is("notes: alone", size == 1)
	r.is("notes: one of two", size == 2)
	r.add("notes: top", top)
	r.add("notes: bottom", bottom)
	r.add("notes: key", key)
	r.add("notes: key, squared", key*key)
	r.is("notes: above the mean", float64(n.Key) > p.meanKey[i])
	r.add("notes: key re the mean", (float64(n.Key)-p.meanKey[i])/12)
	r.add("notes: mean key", (p.meanKey[i]-64)/12)

	again := p.again[i]
	r.is("notes: struck again at once", again < 0.02)
	r.is("notes: struck again soon", again >= 0.02 && again < 1)
	r.add("notes: nearness of the next stroke", math.Exp(-max(again, 0)))

	step, longer, joined := p.following(i)
	r.is("notes: nothing begins at its end", !joined)
	near := joined && math.Abs(step) < 13
	fn := flag(near)
	r.add("notes: goes on near", fn)
	r.add("notes: step to come", step*fn/12)
	r.add("notes: size of the step to come", math.Abs(step)*fn/12)
	r.is("notes: goes on by step", near && math.Abs(step) <= 2 && step != 0)
	r.is("notes: goes on by a leap", near && math.Abs(step) >= 5)
	r.is("notes: goes on to the same", near && step == 0)
	r.add("notes: the next is longer", min(max(longer, -2), 2)*fn)

	r.add("notes: log of the density", math.Log(p.density[i]+1))
	r.is("notes: on the down-beat", p.metre[i] == 2)
	r.is("notes: on a beat", p.metre[i] >= 1)
	left := p.last - n.Beat
	r.add("notes: nearness to the end, by a quarter", math.Exp(-left))
	r.add("notes: nearness to the end, by a bar", math.Exp(-left/4))
	r.add("notes: nearness to the beginning", math.Exp(-(n.Beat-p.first)/4))
	r.is("notes: as long as the one before", i > 0 && math.Abs(p.notes[i-1].Length-quarters) < 0.01)
	r.add("notes: log of the length re around", math.Log(quarters/p.meanLength[i]))
	r.add("notes: log of the mean length", math.Log(p.meanLength[i]*p.pace))
	r.add("notes: log of the mean onset-to-onset time", p.meanIOI[i])
	r.add("notes: length in a chord", logs*math.Log(size))
	r.add("notes: length of the top", logs*top)
	r.add("notes: length of the bottom", logs*bottom)
	r.add("notes: length before a rest", logs*flag(!joined))
	r.add("notes: length held over", logs*flag(held))
	r.add("notes: length by key", logs*key)
	p.endTerms(i, r, logs)
	p.handTerms(i, r, logs)
	p.placeTerms(i, r, logs)
	p.pathTerms(i, r, logs)
	p.markTerms(i, r, logs)
	p.plainTerms(i, r, logs)
}

// endTerms are of what comes where the note ends, and of how notes around it do.
func (p *part) endTerms(i int, r *row, logs float64) {
	r.add("notes: nearness of the next stroke, by 0.1 s", math.Exp(-max(p.again[i]*p.pace, 0)/0.1))
	r.add("notes: length until the next stroke", math.Exp(-max(p.again[i], 0))*logs)
	step, _, joined := p.following(i)
	r.is("notes: goes on by a semitone", joined && math.Abs(step) == 1)
	r.is("notes: ends on a down-beat", p.around[i].end == 2)
	r.is("notes: ends on a beat", p.around[i].end >= 1)
	r.add("notes: log of the mean chord", p.around[i].size)
	r.add("notes: share around that is held over an onset", p.around[i].held)
	r.add("notes: share around that ends before an onset", p.around[i].early)
}

// fmtIf makes a name where names are asked for.
func fmtIf(naming bool, format string, x float64) string {
	if !naming {
		return ""
	}
	return fmt.Sprintf(format, x)
}

// following is what begins where a note ends: how far the nearest key is, how much longer
// that note is (log), and whether anything begins there.
func (p *part) following(i int) (step, longer float64, any bool) {
	n := &p.notes[i]
	end := n.Beat + n.Length
	from := i + 1 + sort.Search(len(p.notes)-i-1, func(k int) bool { return p.notes[i+1+k].Beat >= end-joint })
	best := math.Inf(1)
	for k := from; k < len(p.notes) && p.notes[k].Beat <= end+joint; k++ {
		d := float64(p.notes[k].Key) - float64(n.Key)
		if math.Abs(d) < best {
			best, step, longer, any = math.Abs(d), d, math.Log(p.notes[k].Length/n.Length), true
		}
	}
	return step, longer, any
}

// joint is how far, in quarter notes, the end of a note may be from a start that it leads to.
const joint = 0.03
