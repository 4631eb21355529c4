package layout

import (
	"fmt"
	"io"
	"strings"
)

// Column is one column of a [Table].
type Column struct {
	Title string // "\n" in it begins a second line; empty where the cells say it
	Right bool   // to the right, as numbers stand; such a column is never broken
	Words bool   // its cells may be broken between words, and between letters if need be
	With  bool   // stays beside the column before it, as the figures of one place do
}

// Table is a table of text. The first column says whose line it is, and is repeated
// where the others are too many for one table.
type Table struct {
	Columns []Column
	Rule    bool // a line under the titles
	Indent  int  // columns before each line
	rows    [][]string
}

// Row adds a line. Cells that are missing are empty.
func (t *Table) Row(cells ...string) { t.rows = append(t.rows, cells) }

// gap is what stands between two columns.
const gap = 2

// slimmest is the least that a column of words is narrowed to before columns are moved
// under the table.
const slimmest = 10

// Write lays the table out in at most width columns, or wider where a number has no room
// otherwise. An error is that of w.
func (t *Table) Write(w io.Writer, width int) error {
	var b strings.Builder
	for i, part := range t.parts(max(width, Narrowest) - t.Indent) {
		if i > 0 {
			b.WriteByte('\n')
		}
		t.write(&b, part)
	}
	if _, err := io.WriteString(w, b.String()); err != nil {
		return fmt.Errorf("cannot write the table: %w", err)
	}
	return nil
}

// placed is a column with its width.
type placed struct{ column, width int }

// parts divides the columns into tables that fit, with the width of each column.
func (t *Table) parts(width int) [][]placed {
	var parts [][]placed
	rest := t.groups()
	for len(rest) > 0 {
		n := len(rest)
		for n > 1 && !t.fits(t.columnsOf(parts, rest[:n]), width) {
			n--
		}
		parts = append(parts, t.squeeze(t.columnsOf(parts, rest[:n]), width))
		rest = rest[n:]
	}
	return parts
}

// groups are the columns that stay together, in order.
func (t *Table) groups() (all [][]int) {
	for i, c := range t.Columns {
		if c.With && len(all) > 0 {
			all[len(all)-1] = append(all[len(all)-1], i)
		} else {
			all = append(all, []int{i})
		}
	}
	return all
}

// columnsOf are the columns of the groups, behind the first one if that was in a table
// before.
func (t *Table) columnsOf(before [][]placed, groups [][]int) []int {
	var all []int
	if len(before) > 0 {
		all = append(all, 0)
	}
	for _, g := range groups {
		all = append(all, g...)
	}
	return all
}

// fits reports whether the columns have room, those of words at their slimmest.
func (t *Table) fits(columns []int, width int) bool {
	sum := 0
	for _, c := range columns {
		sum += t.least(c) + gap
	}
	return sum-gap <= width
}

// natural is the width of a column that nothing is broken in.
func (t *Table) natural(c int) int {
	n := 0
	for line := range strings.SplitSeq(t.Columns[c].Title, "\n") {
		n = max(n, columns(line))
	}
	for _, row := range t.rows {
		if c < len(row) {
			n = max(n, columns(row[c]))
		}
	}
	return n
}

// least is the width that a column needs.
func (t *Table) least(c int) int {
	n := t.natural(c)
	if t.Columns[c].Words {
		n = min(n, slimmest)
	}
	return n
}

// squeeze gives each column its width. What is too much is taken from the widest column
// of words, again and again.
func (t *Table) squeeze(columns []int, width int) []placed {
	all := make([]placed, len(columns))
	sum := -gap
	for i, c := range columns {
		all[i] = placed{c, t.natural(c)}
		sum += all[i].width + gap
	}
	for ; sum > width; sum-- {
		widest := -1
		for i, p := range all {
			if p.width > t.least(p.column) && (widest < 0 || p.width > all[widest].width) {
				widest = i
			}
		}
		if widest < 0 {
			break
		}
		all[widest].width--
	}
	return all
}

// write writes one table.
func (t *Table) write(b *strings.Builder, part []placed) {
	titled := false
	heads := make([][]string, len(part))
	for i, p := range part {
		heads[i] = strings.Split(t.Columns[p.column].Title, "\n")
		titled = titled || t.Columns[p.column].Title != ""
	}
	if titled {
		t.lines(b, part, heads)
	}
	if t.Rule {
		n := -gap
		for _, p := range part {
			n += p.width + gap
		}
		b.WriteString(strings.Repeat(" ", t.Indent) + strings.Repeat("─", n) + "\n")
	}
	for _, row := range t.rows {
		cells := make([][]string, len(part))
		for i, p := range part {
			if p.column < len(row) {
				cells[i] = broken(row[p.column], p.width)
			}
		}
		t.lines(b, part, cells)
	}
}

// broken is a cell in lines of a width. Words that are wider are broken themselves.
func broken(cell string, width int) []string {
	if columns(cell) <= width {
		return []string{cell}
	}
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(cell) {
		switch {
		case line == "":
			line = word
		case columns(line)+1+columns(word) <= width:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
		for columns(line) > width {
			letters := []rune(line)
			at := width
			for i := width; i > 1; i-- {
				if letters[i-1] == '-' {
					at = i
					break
				}
			}
			lines = append(lines, string(letters[:at]))
			line = string(letters[at:])
		}
	}
	return append(lines, line)
}

// lines writes cells of several lines beside each other, without blanks at the end.
func (t *Table) lines(b *strings.Builder, part []placed, cells [][]string) {
	tall := 1
	for _, c := range cells {
		tall = max(tall, len(c))
	}
	for i := range tall {
		line := strings.Repeat(" ", t.Indent)
		for j, p := range part {
			text := ""
			if i < len(cells[j]) {
				text = cells[j][i]
			}
			blanks := strings.Repeat(" ", max(p.width-columns(text), 0))
			if t.Columns[p.column].Right {
				text = blanks + text
			} else {
				text += blanks
			}
			if j > 0 {
				line += strings.Repeat(" ", gap)
			}
			line += text
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}
