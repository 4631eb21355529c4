package quiz

import (
	"fmt"
	"io"
	"strings"
	"time"

	"swellbox/proxy/layout"
)

// Progress is how far a listener has come in one skill. Its JSON form is an interface
// that scripts rely on.
type Progress struct {
	Skill      string      `json:"skill"`
	About      string      `json:"about"`
	Unit       string      `json:"unit"`
	Thresholds []Threshold `json:"thresholds"` // never nil
	// Open is how many answers the run that goes on has.
	Open int `json:"open_answers"`
}

// Threshold is the result of one run.
type Threshold struct {
	At      time.Time `json:"at"` // the run's last answer
	Amount  float64   `json:"amount"`
	Answers int       `json:"answers"`
	Right   int       `json:"right"`
}

// Progress is where the listener stands in each skill that was tried.
func (r *Record) Progress() []Progress {
	all := []Progress{}
	for _, skill := range Skills {
		runs := r.Skills[skill.Name]
		if len(runs) == 0 {
			continue
		}
		p := Progress{Skill: skill.Name, About: skill.About, Unit: skill.Unit, Thresholds: []Threshold{}}
		for _, run := range runs {
			if run.Threshold == 0 {
				continue
			}
			t := Threshold{At: run.Answers[len(run.Answers)-1].At, Amount: run.Threshold, Answers: len(run.Answers)}
			for _, a := range run.Answers {
				if a.Right {
					t.Right++
				}
			}
			p.Thresholds = append(p.Thresholds, t)
		}
		if run := r.open(skill); run != nil {
			p.Open = len(run.Answers)
		}
		all = append(all, p)
	}
	return all
}

// barWidth is the width of the longest bar in columns, where there is room for it, and
// shown is how many of the last runs are drawn.
const (
	barWidth = 40
	shown    = 12
)

// PrintProgress draws what Progress tells in so many columns: a line for each of the last
// runs of a skill, its bar as long as the threshold is wide, so that bars shrink as the ear
// sharpens.
func PrintProgress(w io.Writer, all []Progress, width int) error {
	bars := min(barWidth, max(width-beside, least))
	var b strings.Builder
	for i, p := range all {
		if i > 0 {
			b.WriteString("\n")
		}
		fmt.Fprintln(&b, layout.Wrap(fmt.Sprintf("%s: %s; in %s, less is finer", p.Skill, p.About, p.Unit), width, "  "))
		runs := p.Thresholds[max(0, len(p.Thresholds)-shown):]
		widest := 0.0
		for _, t := range runs {
			widest = max(widest, t.Amount)
		}
		for _, t := range runs {
			bar := strings.Repeat("#", max(1, int(t.Amount/widest*float64(bars)+.5)))
			fmt.Fprintf(&b, "  %s  %5s  %-*s  %d of %d right\n", t.At.Local().Format(time.DateOnly), Figure(t.Amount), bars, bar, t.Right, t.Answers)
		}
		if p.Open > 0 {
			fmt.Fprintf(&b, "  answers towards the next threshold: %d\n", p.Open)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// beside is what stands beside a bar, and least the shortest that the longest bar may be,
// in columns.
const (
	beside = 42
	least  = 10
)
