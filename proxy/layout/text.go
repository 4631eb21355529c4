package layout

import (
	"strings"
	"unicode/utf8"
)

// Narrowest is the least width that anything is laid out for, in columns.
const Narrowest = 40

// Broadest is the widest that a paragraph is set, in columns: longer lines lose the
// reader. Common practice, no published source.
const Broadest = 100

// Wrap breaks a sentence into lines of at most width columns, every line but the first
// behind indent. A word that is wider than that has a line of its own.
func Wrap(text string, width int, indent string) string {
	return wrap(text, max(width, Narrowest), indent)
}

func wrap(text string, width int, indent string) string {
	var b strings.Builder
	column, in := 0, columns(indent)
	for word := range strings.FieldsSeq(text) {
		n := columns(word)
		switch {
		case column == 0 && b.Len() == 0:
		case column > in && column+1+n > width:
			b.WriteString("\n" + indent)
			column = in
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += n
	}
	return b.String()
}

// Text lays out what is written as paragraphs with an empty line between them. A line
// that begins with a blank keeps to itself and to its indent; where it has a gap of two
// blanks or more behind a first word or phrase, what goes on stands under what follows
// the gap.
func Text(text string, width int) string {
	width = min(max(width, Narrowest), Broadest)
	var out []string
	var paragraph []string
	flush := func() {
		if paragraph != nil {
			out = append(out, Wrap(strings.Join(paragraph, " "), width, ""))
			paragraph = nil
		}
	}
	for line := range strings.SplitSeq(text, "\n") {
		switch {
		case strings.TrimSpace(line) == "":
			flush()
			out = append(out, "")
		case line[0] == ' ':
			flush()
			out = append(out, item(line, width))
		default:
			paragraph = append(paragraph, line)
		}
	}
	flush()
	return strings.Join(out, "\n")
}

// item lays out an indented line.
func item(line string, width int) string {
	rest := strings.TrimLeft(line, " ")
	indent := line[:len(line)-len(rest)]
	head, tail, ok := strings.Cut(rest, "  ")
	if !ok || columns(line) <= width {
		return indent + indented(rest, width, indent)
	}
	about := strings.TrimLeft(tail, " ")
	column := columns(indent) + columns(rest) - columns(about)
	if column > width/2 { // too little room beside it
		in := indent + "    "
		return indent + head + "\n" + in + indented(about, width, in)
	}
	in := strings.Repeat(" ", column)
	return line[:len(line)-len(about)] + indented(about, width, in)
}

// indented breaks what stands behind an indent already, keeping its blanks if it needs
// no breaking.
func indented(text string, width int, indent string) string {
	if columns(indent)+columns(text) <= width {
		return text
	}
	return strings.ReplaceAll(wrap(text, max(width-columns(indent), 1), ""), "\n", "\n"+indent)
}

// Shorten cuts s to n columns, the last of them an ellipsis if any is missing.
func Shorten(s string, n int) string {
	if columns(s) <= n {
		return s
	}
	return strings.TrimSpace(string([]rune(s)[:max(n-1, 0)])) + "…"
}

func columns(s string) int { return utf8.RuneCountInString(s) }

// List is words as one says them, "a, b and c": a comma between them, and another word before the last.
func List(words []string, comma, last string) string {
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n-1], comma) + " " + last + " " + words[n-1]
}
