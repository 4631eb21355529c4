package foreground

import (
	"context"

	"swellbox/proxy/perform"
	"swellbox/proxy/study/balance"
)

// Front is how the main line of a movement stands among the others, with flat dynamics.
type Front struct {
	Beats  float64 // mean share of the other parts that sound which its best part is more audible than
	First  float64 // share of the stretches in which it is before all of them
	Places int     // stretches of four quarter notes
	States [balance.States]int
}

// Front measures it.
func (m *Movement) Front(ctx context.Context, cast *perform.Cast) (*Front, error) {
	r, err := balance.Analyse(ctx, m.Flat(), cast, balance.DefaultOptions())
	if err != nil {
		return nil, err
	}
	f := &Front{}
	const none = -1000
	count := len(m.Score.Parts)
	rows := make([][]float64, r.Bars) // by bar, by part
	for i := range rows {
		rows[i] = make([]float64, count)
		for p := range rows[i] {
			rows[i][p] = none
		}
	}
	hall := &r.Reports[0]
	for i := range hall.Parts {
		p := m.partOf(hall.Parts[i].Name)
		if p < 0 {
			continue
		}
		for _, b := range hall.Parts[i].Bars {
			rows[b.Bar-1][p] = b.AudibilityDB
			f.States[b.State]++
		}
	}
	for bar, row := range rows {
		main := m.main(4*bar, 4*bar+4)
		if main == nil {
			continue
		}
		ours, most := float64(none), float64(none)
		var others []float64
		for p, x := range row {
			switch {
			case x == none:
			case main[p]:
				ours = max(ours, x)
			default:
				others, most = append(others, x), max(most, x)
			}
		}
		if ours == none || len(others) < 2 {
			continue
		}
		beaten := 0
		for _, x := range others {
			if ours > x {
				beaten++
			}
		}
		f.Places++
		f.Beats += float64(beaten) / float64(len(others))
		if ours >= most {
			f.First++
		}
	}
	f.Beats /= float64(max(f.Places, 1))
	f.First /= float64(max(f.Places, 1))
	return f, nil
}

// main are the parts that have the main line for half of some quarter notes or more; nil where the analyst does not say
// who has it in any of them.
func (m *Movement) main(from, to int) []bool {
	if from < 0 || to > len(m.Plays) {
		return nil
	}
	times := make([]int, len(m.Score.Parts))
	for _, has := range m.Plays[from:to] {
		if has == nil {
			return nil
		}
		for p, x := range has {
			if x {
				times[p]++
			}
		}
	}
	main := make([]bool, len(times))
	for p, n := range times {
		main[p] = 2*n >= to-from
	}
	return main
}
