package foreground

import (
	"context"
	"slices"

	"swellbox/expr/acoustics"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/balance"
)

// Trial is a passage as it was and with a fault.
type Trial struct {
	Fault
	Worth         bool       // the main line, as the analyst has it, is less to be heard by what a composer would want told
	Found         bool       // a warning is of the right part and of the passage, and of who covers it if that is the fault
	Before, After float64    // how far the report says that the tune is behind, dB: mean over the bars
	Told          [2]float64 // the same, were it told which line is the main one: before and after
}

// A fault is worth telling if the main line loses so many dB over what all others mask, and then is no voice that
// one can follow. The first is ours: three times what the ear can tell.
const worthDB = 3

// Try plants a fault into a passage. ok is false where it cannot be.
func (m *Movement) Try(ctx context.Context, cast *perform.Cast, f Fault, p Passage, before *balance.Result) (t Trial, ok bool, err error) {
	file := m.Plant(f, p)
	if file == nil {
		return t, false, nil
	}
	bars, err := smf.Bars(file, 0)
	if err != nil {
		return t, false, err
	}
	tick := func(quarter int) int64 { return int64((float64(quarter) + m.shift) * m.ticks()) }
	first, _ := bars.Bar(tick(p.From))
	last, _ := bars.Bar(tick(p.To) - 1)
	after, err := m.Heard(ctx, file, cast)
	if err != nil {
		return t, false, err
	}
	was, is := &before.Reports[0], &after.Reports[0]
	main := func(part int) bool { return part >= 0 && p.Main[part] }
	now, guilty := main, func(int) bool { return true }
	switch x := (&planting{Movement: m}); f {
	case LowFlute:
		flute := x.parts(func(i int) bool { return x.is(i, "Flute") })[0]
		now = func(part int) bool { return part == flute }
	case OneHorn:
		now = func(part int) bool { return main(part) && x.is(part, "Horn") }
	case BrassDouble:
		guilty = func(part int) bool { return part >= 0 && x.is(part, brassNames...) }
	case Tremolo:
		guilty = func(part int) bool { return part >= 0 && x.is(part, stringNames...) }
	}
	t = Trial{Fault: f, Before: behind(was, first, last), After: behind(is, first, last)}
	wasDB, isDB := m.line(was, first, last, main), m.line(is, first, last, now)
	t.Told = [2]float64{-wasDB, -isDB}
	t.Worth = wasDB-isDB >= worthDB && isDB < acoustics.HeardDB
	for _, w := range is.Warnings {
		by := slices.ContainsFunc(w.By, func(name string) bool { return guilty(m.partOf(name)) })
		if now(m.partOf(w.Part)) && w.FirstBar <= last && w.LastBar >= first && (by || f != BrassDouble && f != Tremolo) {
			t.Found = true
		}
	}
	return t, true, nil
}

// behind is how far the tune is behind in the mean over some bars of a report, dB.
func behind(r *balance.Report, first, last int) float64 {
	sum := 0.0
	for bar := first; bar <= last && bar <= len(r.Behind); bar++ {
		sum += r.Behind[bar-1]
	}
	return sum / float64(last-first+1)
}

// line is how far some parts' line is over what all others mask, in the mean over some bars in which one of them sounds,
// dB: the best of their lines counts.
func (m *Movement) line(r *balance.Report, first, last int, is func(part int) bool) float64 {
	best := map[int]float64{}
	for i := range r.Parts {
		if !is(m.partOf(r.Parts[i].Name)) {
			continue
		}
		for _, b := range r.Parts[i].Bars {
			if x, known := best[b.Bar]; b.Bar >= first && b.Bar <= last && (!known || b.LineDB > x) {
				best[b.Bar] = b.LineDB
			}
		}
	}
	sum := 0.0
	for _, x := range best {
		sum += x
	}
	return sum / float64(max(len(best), 1))
}

// Above is how often a passage with a fault has more of something than one without, of all pairs: the area under the
// curve of faults found over false alarms. Equals count half.
func Above(faults, without []float64) float64 {
	sum := 0.0
	for _, a := range faults {
		for _, b := range without {
			switch {
			case a > b:
				sum++
			case a == b:
				sum += 0.5
			}
		}
	}
	return sum / float64(max(len(faults)*len(without), 1))
}
