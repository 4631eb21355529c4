package balance

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// barsInStrip is how many bars a strip of bands has: as many as stand on a screen of 1280 pixels with room for the
// names of who is in front, and on a sheet.
const barsInStrip = 60

// stripView is bars side by side, each a column of its lines, the one in front on top.
type stripView struct {
	Name    string // "bars 1–60"
	About   string // in words, for those who do not see it
	Fronts  []runView
	Columns []columnView
	Rest    int // columns that are missing to a whole strip
	Systems []systemView
}

// runView is consecutive bars with the same line in front.
type runView struct {
	Bars int
	Name string // who carries it; empty for none
}

type columnView struct {
	Bar   string
	Shown bool   // its number stands over it
	To    string // the warning that is about it
	Bands []bandView
}

// bandView is a line in a bar.
type bandView struct {
	Class  string
	Height int    // pixels
	About  string // "Violin 1 with Flute 1, Oboe 1: in front"
}

// The height of a column in pixels, the least of a band, and how the share of what is followed becomes height: as
// loudness grows with power (Stevens's exponent of 0.3).
const (
	columnHeight = 72
	leastBand    = 3
	bandExponent = 0.3
)

// lineInBar is a line as it is drawn.
type lineInBar struct {
	name  string   // who carries it: the part that is followed most
	with  []string // who else plays it
	share float64  // of what is followed, as power
	state State
}

// linesOf are the lines of a bar, in front first, then by what is followed of them.
func (r *Report) linesOf(at []int) (all []lineInBar) {
	type member struct {
		name string
		bar  *BarReport
	}
	members := map[string][]member{}
	var names []string
	for part, i := range at {
		if i < 0 {
			continue
		}
		b := &r.Parts[part].Bars[i]
		if members[b.Line] == nil {
			names = append(names, b.Line)
		}
		members[b.Line] = append(members[b.Line], member{r.Parts[part].Name, b})
	}
	for _, name := range names {
		of := members[name]
		slices.SortStableFunc(of, func(a, b member) int { return cmp.Compare(b.bar.AudibilityDB, a.bar.AudibilityDB) })
		l := lineInBar{name: of[0].name, share: math.Pow(10, of[0].bar.AudibilityDB/10), state: of[0].bar.State}
		for _, m := range of {
			l.state = max(l.state, m.bar.State)
		}
		for _, m := range of[1:] {
			l.with = append(l.with, m.name)
		}
		all = append(all, l)
	}
	slices.SortStableFunc(all, func(a, b lineInBar) int {
		return cmp.Or(cmp.Compare(min(b.state, Front), min(a.state, Front)), cmp.Compare(b.share, a.share))
	})
	return all
}

// strips are all bars, as bands.
func (r *Report) strips(by *naming, bars int, warned map[int]string) (all []stripView) {
	at := make([][]int, bars) // by bar, by part: the number of its report, −1 for a rest
	for i := range at {
		at[i] = slices.Repeat([]int{-1}, len(r.Parts))
	}
	for part := range r.Parts {
		for i, b := range r.Parts[part].Bars {
			at[b.Bar-1][part] = i
		}
	}
	for first := 0; first < bars; first += barsInStrip {
		end := min(first+barsInStrip, bars)
		v := stripView{Name: by.span(first+1, end), Rest: min(barsInStrip, bars) - (end - first)}
		var told []string
		for bar := first; bar < end; bar++ {
			lines := r.linesOf(at[bar])
			front := ""
			if len(lines) > 0 && lines[0].state >= Front {
				front = lines[0].name
			}
			if n := len(v.Fronts); n > 0 && v.Fronts[n-1].Name == front {
				v.Fronts[n-1].Bars++
			} else {
				v.Fronts = append(v.Fronts, runView{1, front})
			}
			v.Columns = append(v.Columns, columnView{Bar: by.number(bar + 1), Shown: bar == first || (bar+1)%5 == 0, To: warned[bar+1], Bands: bands(lines)})
		}
		from := first + 1
		for _, run := range v.Fronts {
			if run.Name != "" {
				told = append(told, fmt.Sprintf("%s %s", run.Name, by.span(from, from+run.Bars-1)))
			}
			from += run.Bars
		}
		v.About = "In front: " + strings.Join(told, "; ") + "."
		all = append(all, v)
	}
	return all
}

// bands are the lines of a bar as heights that fill a column.
func bands(lines []lineInBar) (all []bandView) {
	sum := 0.0
	for _, l := range lines {
		sum += math.Pow(l.share, bandExponent)
	}
	for _, l := range lines {
		height := max(int(columnHeight*math.Pow(l.share, bandExponent)/sum+0.5), leastBand)
		about := l.name
		if len(l.with) > 0 {
			about += " with " + strings.Join(l.with, ", ")
		}
		all = append(all, bandView{"band band-" + l.state.Letter(), height, about + ": " + l.state.String()})
	}
	return all
}
