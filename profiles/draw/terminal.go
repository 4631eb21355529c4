package draw

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"swellbox/expr"
	"swellbox/profiles"
)

// The size of a plot in text: rows of a plot, columns for the numbers of its
// vertical axis, and the widths between which a drawing is kept.
const (
	plotRows   = 8 // between the ends of the vertical axis, or a few more or less so that its numbers lie on rows
	gutter     = 7
	leastWidth = 48
	mostWidth  = 100
)

// glyphs are what plots in text are made of.
type glyphs struct {
	lines                          [3]rune // one for each curve
	mark, steep                    rune
	side, sideTick, corner         rune
	bottom, bottomTick, horizontal rune
}

var (
	unicodeGlyphs = glyphs{[3]rune{'•', '◦', '+'}, '●', '│', '│', '┤', '└', '─', '┴', '─'}
	asciiGlyphs   = glyphs{[3]rune{'*', 'o', '+'}, '#', '|', '|', '+', '+', '-', '+', '-'}
)

// Terminal draws the curves of a profile as text of at most width columns, within
// 48 to 100; 80 suits most terminals.
func Terminal(w io.Writer, p *expr.Profile, width int) error {
	return text(w, p, width, &unicodeGlyphs)
}

// TerminalASCII is [Terminal] in the characters of ASCII.
func TerminalASCII(w io.Writer, p *expr.Profile, width int) error {
	return text(w, p, width, &asciiGlyphs)
}

func text(w io.Writer, p *expr.Profile, width int, g *glyphs) error {
	width = min(max(width, leastWidth), mostWidth)
	b := bufio.NewWriter(w)
	paragraph(b, p.Name+": "+profiles.Describe(p), width, g)
	for _, pl := range panels(p) {
		fmt.Fprintln(b)
		paragraph(b, heading(pl, g), width, g)
		pl.plot(b, width, g)
		for _, words := range pl.words {
			paragraph(b, words, width, g)
		}
	}
	if err := b.Flush(); err != nil {
		return fmt.Errorf("cannot draw the profile %s: %w", p.Name, err)
	}
	return nil
}

// heading is the title of a plot, with what its curves are drawn with if there are several.
func heading(pl panel, g *glyphs) string {
	s := pl.title + " (" + pl.y.label + ")"
	if len(pl.lines) > 1 {
		s += ":"
		for i, l := range pl.lines {
			s += fmt.Sprintf(" %c %s", g.lines[i%len(g.lines)], l.name)
		}
	}
	return s
}

// plainly is s without what ASCII does not have.
func plainly(s string, g *glyphs) string {
	if g != &asciiGlyphs {
		return s
	}
	return strings.NewReplacer("♯", "#", "♭", "b", "→", "->", "−", "-").Replace(s)
}

func paragraph(w io.Writer, s string, width int, g *glyphs) {
	for _, l := range wrapped(plainly(s, g), width) {
		fmt.Fprintln(w, l)
	}
}

// wrapped breaks s between words into lines of at most width characters.
func wrapped(s string, width int) []string {
	var lines []string
	line := ""
	for word := range strings.SplitSeq(s, " ") {
		word = strings.ReplaceAll(word, nonBreaking, " ")
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			lines = append(lines, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}

// grid is the plot of a panel in characters, row 0 at the top.
type grid [][]rune

// plot draws a panel with its axes.
func (pl panel) plot(w io.Writer, width int, g *glyphs) {
	columns := width - gutter - 1
	cells := make(grid, pl.y.rows())
	for r := range cells {
		cells[r] = []rune(strings.Repeat(" ", columns))
	}
	for i, l := range pl.lines {
		pl.trace(cells, l, g.lines[i%len(g.lines)], g)
	}
	numbers := map[int]string{}
	for _, t := range pl.y.ticks {
		numbers[pl.y.row(t.at)] = plainly(t.text, g)
	}
	for r, cell := range cells {
		side := g.side
		if numbers[r] != "" {
			side = g.sideTick
		}
		fmt.Fprintln(w, strings.TrimRight(fmt.Sprintf("%*s %c%s", gutter-1, numbers[r], side, string(cell)), " "))
	}
	base := []rune(strings.Repeat(string(g.bottom), columns))
	names := []rune(strings.Repeat(" ", columns))
	free := 0
	for _, t := range pl.x.ticks {
		c := pl.x.column(t.at, columns)
		base[c] = g.bottomTick
		name := []rune(plainly(t.text, g))
		from := min(max(c-(len(name)-1)/2, 0), columns-len(name))
		if from >= free {
			copy(names[from:], name)
			free = from + len(name) + 1
		}
	}
	label := []rune(pl.x.label)
	if from := columns - len(label); from >= free {
		copy(names[from:], label)
	}
	margin := strings.Repeat(" ", gutter)
	fmt.Fprintf(w, "%s%c%s\n%s\n", margin, g.corner, string(base), strings.TrimRight(margin+" "+string(names), " "))
	if len(label) > columns-free {
		fmt.Fprintf(w, "%*s\n", width, pl.x.label)
	}
}

// trace draws one curve, with what it jumps over filled.
func (pl panel) trace(cells grid, l line, glyph rune, g *glyphs) {
	columns := len(cells[0])
	before := -1
	for c := range columns {
		x := pl.x.lo + (pl.x.hi-pl.x.lo)*float64(c)/float64(columns-1)
		r := pl.y.row(l.y(x))
		cells[r][c] = glyph
		for step := min(before, r) + 1; before >= 0 && step < max(before, r); step++ {
			cells[step][c] = g.steep
		}
		before = r
	}
	for _, x := range l.dots {
		if len(pl.lines) == 1 {
			cells[pl.y.row(l.y(x))][pl.x.column(x, columns)] = g.mark
		}
	}
}

// ratio is how far v lies along the axis, 0 to 1.
func (a axis) ratio(v float64) float64 {
	return min(max((v-a.lo)/(a.hi-a.lo), 0), 1)
}

// rows is how many rows a plot has, so that each number of the axis lies on one.
func (a axis) rows() int {
	intervals := len(a.ticks) - 1
	return intervals*max((plotRows+intervals/2)/intervals, 1) + 1
}

func (a axis) row(v float64) int { return int(math.Round((1 - a.ratio(v)) * float64(a.rows()-1))) }

func (a axis) column(v float64, columns int) int {
	return int(math.Round(a.ratio(v) * float64(columns-1)))
}
