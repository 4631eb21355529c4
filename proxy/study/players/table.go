package players

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// Condition is one way of having the pieces performed.
type Condition struct {
	Name   string
	Manner perform.Manner
	Marks  bool // the MusicXML score beside the takes is known too
}

// lookahead is that of the grade of this name: as far as a render looks for its own timing.
const lookahead = 2 * engine.MaxDeviation

// Grades are the conditions of the three grades of foreknowledge. The players have a time of
// their own in the notes wherever they know what follows.
func Grades(rubato float64) []Condition {
	known := Known(nil)
	known.Rubato = rubato
	return []Condition{
		{Name: "none", Manner: perform.Manner{Seed: 1}},
		{Name: "lookahead", Manner: perform.Manner{Seed: 1, Lookahead: lookahead, Rubato: rubato}},
		{Name: "score", Manner: known, Marks: true},
	}
}

// Known is the manner of who knows a piece, and what piece, if it is not nil, has written over it.
func Known(piece *expr.Score) perform.Manner {
	return perform.Manner{Seed: 1, Scored: true, Piece: piece, Lookahead: lookahead, Rubato: 1, Free: true}
}

// Habits are the conditions that show what each habit adds in a grade: alone beside those that
// set the level, and all but it.
func Habits(base Condition, names []string) []Condition {
	var all []Condition
	for _, n := range names {
		alone, without := base, base
		alone.Name, alone.Manner.Only = n+" alone", []string{n}
		without.Name, without.Manner.Without = "all but "+n, []string{n}
		all = append(all, alone, without)
	}
	return all
}

// Study measures pieces under conditions.
type Study struct {
	Cast       *perform.Cast
	Conditions []Condition
	Pictures   string                   // folder to draw each piece under the last condition into; empty: none
	Rows       map[string][]*Comparison // by the condition's name
	Failed     []error                  // pieces that could not be measured, and why
}

// Add performs a piece under each condition and compares. It returns ctx's error only.
func (s *Study) Add(ctx context.Context, dir string, most int) error {
	p, err := ReadPiece(dir, most)
	if errors.Is(err, ErrShort) {
		return nil
	}
	if err != nil {
		s.Failed = append(s.Failed, err)
		return nil
	}
	var score *expr.Score
	if p.Score != "" {
		if score, _, err = offline.ReadScore(p.Score, nil); err != nil {
			s.Failed = append(s.Failed, err)
		}
	}
	if s.Rows == nil {
		s.Rows = map[string][]*Comparison{}
	}
	for i, c := range s.Conditions {
		m := c.Manner
		if c.Marks {
			m.Piece = score
		}
		take, err := p.Render(ctx, s.Cast, m)
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if err != nil {
			s.Failed = append(s.Failed, fmt.Errorf("%s, %s: %w", p.Name, c.Name, err))
			continue
		}
		s.Rows[c.Name] = append(s.Rows[c.Name], p.Compare(&take))
		if s.Pictures != "" && i+1 == len(s.Conditions) {
			if err := s.draw(p, &take); err != nil {
				s.Failed = append(s.Failed, err)
			}
		}
	}
	return nil
}

func (s *Study) draw(p *Piece, take *Take) error {
	if err := os.MkdirAll(s.Pictures, 0o755); err != nil {
		return err
	}
	f, err := os.Create(filepath.Join(s.Pictures, strings.ReplaceAll(p.Name, "/", " ")+".svg"))
	if err != nil {
		return err
	}
	return errors.Join(p.Draw(f, take), f.Close())
}

// Figure is a mean over pieces, with its standard error.
type Figure struct {
	Mean, Error float64
	Pieces      int
}

func figure(values []float64) Figure {
	v := known(values)
	if len(v) == 0 {
		return Figure{Mean: math.NaN(), Error: math.NaN()}
	}
	return Figure{mean(v), deviation(v) / math.Sqrt(max(float64(len(v))-1, 1)), len(v)}
}

// Summary is a condition's figures over all pieces.
type Summary struct {
	Ours       [5]Figure  // agreement with a player, all pieces
	Several    [5]Figure  // the same, pieces of several players
	Theirs     [5]Figure  // of the players with each other
	Ratio      [5]float64 // Several over Theirs: 1 is as close to a player as another player is
	Sizes      [9]Figure
	TheirSizes [9]Figure
}

// Summarise sums up the rows of a condition.
func Summarise(rows []*Comparison) (s Summary) {
	for k := range Kinds {
		var ours, several, theirs []float64
		for _, r := range rows {
			ours = append(ours, r.Ours[k])
			if !math.IsNaN(r.Ours[k]) && !math.IsNaN(r.Theirs[k]) {
				several, theirs = append(several, r.Ours[k]), append(theirs, r.Theirs[k])
			}
		}
		s.Ours[k], s.Several[k], s.Theirs[k] = figure(ours), figure(several), figure(theirs)
		s.Ratio[k] = s.Several[k].Mean / s.Theirs[k].Mean
	}
	for k := range SizeNames {
		var ours, theirs []float64
		for _, r := range rows {
			ours, theirs = append(ours, r.Sizes[k]), append(theirs, r.TheirSizes[k])
		}
		s.Sizes[k], s.TheirSizes[k] = figure(ours), figure(theirs)
	}
	return s
}

// Write writes the study as tables in Markdown.
func (s *Study) Write(w io.Writer) error {
	p := &printer{w: w}
	p.f("| agreement with a player |")
	for _, k := range Kinds {
		p.f(" %s |", k)
	}
	p.f("\n|---|---|---|---|---|---|\n")
	for _, c := range s.Conditions {
		sum := Summarise(s.Rows[c.Name])
		p.f("| %s |", c.Name)
		for k := range Kinds {
			if f := sum.Ours[k]; f.Pieces > 0 {
				p.f(" %.3f ± %.3f |", f.Mean, f.Error)
			} else {
				p.f(" none |") // it varies in nothing
			}
		}
		p.f("\n")
	}
	last := Summarise(s.Rows[s.Conditions[len(s.Conditions)-1].Name])
	p.f("| another player |")
	for k := range Kinds {
		if f := last.Theirs[k]; f.Pieces > 0 {
			p.f(" %.3f (%d pieces) |", f.Mean, f.Pieces)
		} else {
			p.f(" not known |") // each piece has one player
		}
	}
	p.f("\n\n| of the players' own agreement, where there are several |")
	for _, k := range Kinds {
		p.f(" %s |", k)
	}
	p.f("\n|---|---|---|---|---|---|\n")
	for _, c := range s.Conditions {
		sum := Summarise(s.Rows[c.Name])
		p.f("| %s |", c.Name)
		for k := range Kinds {
			if math.IsNaN(sum.Ratio[k]) {
				p.f(" none |")
			} else {
				p.f(" %.2f |", sum.Ratio[k])
			}
		}
		p.f("\n")
	}
	p.f("\n| size |")
	for _, c := range s.Conditions {
		p.f(" %s |", c.Name)
	}
	p.f(" players |\n|---|")
	for range s.Conditions {
		p.f("---|")
	}
	p.f("---|\n")
	for k, name := range SizeNames {
		p.f("| %s |", name)
		for _, c := range s.Conditions {
			p.f(" %.3f |", Summarise(s.Rows[c.Name]).Sizes[k].Mean)
		}
		p.f(" %.3f |\n", last.TheirSizes[k].Mean)
	}
	return p.err
}

// printer keeps the first error of writing.
type printer struct {
	w   io.Writer
	err error
}

func (p *printer) f(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintf(p.w, format, args...)
	}
}
