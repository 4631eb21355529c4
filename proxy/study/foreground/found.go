package foreground

import (
	"context"
	"slices"

	"swellbox/proxy/formats/smf"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/balance"
)

// Trial is a passage as it was and with a fault.
type Trial struct {
	Fault
	Found         bool    // a warning is of the right part and of the passage
	Before, After float64 // how far the line that leads is masked, dB: mean over the bars
}

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
	after, err := heard(ctx, file, cast)
	if err != nil {
		return t, false, err
	}
	t = Trial{Fault: f, Before: Masked(&before.Reports[0], first, last), After: Masked(&after.Reports[0], first, last)}
	for _, w := range after.Reports[0].Warnings {
		part := m.partOf(w.Part)
		right := part >= 0 && (p.Main[part] || f == LowFlute && m.partOf(w.Part) == slices.IndexFunc(m.Score.Parts, func(s string) bool { return s == "Flute 1" || s == "Flute" }))
		if right && w.FirstBar <= last && w.LastBar >= first {
			t.Found = true
		}
	}
	return t, true, nil
}

// Masked is how far the line that draws most is masked in the mean over some bars of a report, dB: its best heard
// part counts, and what is over the masking is negative.
func Masked(r *balance.Report, first, last int) float64 {
	sum, bars := 0.0, 0
	for bar := first; bar <= last; bar++ {
		var all []balance.BarReport
		lead := ""
		for i := range r.Parts {
			at, found := slices.BinarySearchFunc(r.Parts[i].Bars, bar, func(b balance.BarReport, bar int) int { return b.Bar - bar })
			if !found {
				continue
			}
			b := r.Parts[i].Bars[at]
			all = append(all, b)
			if b.DrawDB == 0 {
				lead = b.Line
			}
		}
		best, any := 0.0, false
		for _, b := range all {
			if b.Line == lead && (!any || b.MaskingDB > best) {
				best, any = b.MaskingDB, true
			}
		}
		if any {
			sum -= best
			bars++
		}
	}
	return sum / float64(max(bars, 1))
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
