package demo

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Row is what shaping changed in one part.
type Row struct {
	Part    string
	Profile string
	Notes   int

	// The level of shaped minus raw over the notes, dB.
	LevelMedian, LevelLow, LevelHigh float64

	VibratoCents float64 // median over the notes that have vibrato, peak to peak
	VibratoShare float64 // of the notes that have it, 0 to 1
	BrightnessDB float64 // median, dB at 3 kHz re the mf spectrum

	Habits []HabitCount // in the order in which they are applied
}

// HabitCount says in how many notes a rule changed something.
type HabitCount struct {
	Habit string
	Notes int
}

// tableWidth is the most columns that a line takes.
const tableWidth = 100

// tableLine is a line of the table in tableWidth columns.
const tableLine = "%s  %s  %7v  %6s  %16s  %5s  %7s  %7s  %6v\n"

// Table writes what changed and by how much as plain text of at most 100 columns:
// a line a part, and under them how often each rule was applied in all. An error
// is that of w.
func Table(w io.Writer, rows []Row) error {
	var b bytes.Buffer
	var rules []HabitCount
	fmt.Fprintf(&b, "%s  %s  %7s  %24s  %14s  %7s  %6s\n",
		pad("part", 18), pad("profile", 12), "notes", "level change, dB", "vibrato", "bright", "rules")
	fmt.Fprintf(&b, tableLine, pad("", 18), pad("", 12), "", "median", "range", "cents", "notes %", "dB", "n")
	fmt.Fprintln(&b, strings.Repeat("─", tableWidth))
	for _, r := range rows {
		applied := 0
		for _, c := range r.Habits {
			applied += c.Notes
			rules = addHabit(rules, c)
		}
		level, span, bright := "–", "–", "–"
		if r.Notes > 0 {
			level, bright = decibels(r.LevelMedian), decibels(r.BrightnessDB)
			span = decibels(r.LevelLow) + " to " + decibels(r.LevelHigh)
		}
		cents, share := "–", "–"
		if r.VibratoShare > 0 {
			cents, share = fmt.Sprintf("%.0f", r.VibratoCents), fmt.Sprintf("%.0f", 100*r.VibratoShare)
		}
		fmt.Fprintf(&b, tableLine,
			pad(r.Part, 18), pad(r.Profile, 12), r.Notes, level, span, cents, share, bright, applied)
	}
	if len(rows) == 0 {
		fmt.Fprintln(&b, "no part has played")
	}
	writeHabits(&b, rules)
	if _, err := w.Write(b.Bytes()); err != nil {
		return fmt.Errorf("cannot write the table: %w", err)
	}
	return nil
}

func addHabit(rules []HabitCount, c HabitCount) []HabitCount {
	for i := range rules {
		if rules[i].Habit == c.Habit {
			rules[i].Notes += c.Notes
			return rules
		}
	}
	return append(rules, c)
}

// writeHabits writes the sums by rule, broken into lines between two rules.
func writeHabits(b *bytes.Buffer, rules []HabitCount) {
	if len(rules) == 0 {
		return
	}
	const lead = "rules applied, in notes:"
	b.WriteString("\n" + lead)
	column := len(lead)
	for i, r := range rules {
		item := fmt.Sprintf(" %s %d", r.Habit, r.Notes)
		if i+1 < len(rules) {
			item += ","
		}
		if n := utf8.RuneCountInString(item); column+n > tableWidth && i > 0 {
			b.WriteString("\n" + strings.Repeat(" ", len(lead)))
			column = len(lead) + n
		} else {
			column += n
		}
		b.WriteString(item)
	}
	b.WriteByte('\n')
}

// pad brings s to n characters.
func pad(s string, n int) string {
	s = shorten(s, n)
	return s + strings.Repeat(" ", n-utf8.RuneCountInString(s))
}
