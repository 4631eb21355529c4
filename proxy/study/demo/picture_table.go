package demo

import (
	"fmt"
	"io"
	"strings"

	"swellbox/proxy/layout"
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

// HabitCount says in how many notes a habit changed something.
type HabitCount struct {
	Habit string
	Notes int
}

// Table writes what changed and by how much as plain text of so many columns, a line a
// part. An error is that of w.
func Table(w io.Writer, rows []Row, width int) error {
	t := layout.Table{Rule: true, Columns: []layout.Column{
		{Title: "part", Words: true}, {Title: "notes", Right: true},
		{Title: "louder\nmedian", Right: true}, {Title: "\nrange, dB", Right: true, With: true},
		{Title: "vibrato\ncents", Right: true}, {Title: "\n% notes", Right: true, With: true},
		{Title: "brighter\ndB", Right: true},
	}}
	for _, r := range rows {
		level, span, bright := "–", "–", "–"
		if r.Notes > 0 {
			level, bright = decibels(r.LevelMedian), decibels(r.BrightnessDB)
			span = decibels(r.LevelLow) + " to " + decibels(r.LevelHigh)
		}
		cents, share := "–", "–"
		if r.VibratoShare > 0 {
			cents, share = fmt.Sprintf("%.0f", r.VibratoCents), fmt.Sprintf("%.0f", 100*r.VibratoShare)
		}
		t.Row(r.Part, fmt.Sprint(r.Notes), level, span, cents, share, bright)
	}
	if len(rows) == 0 {
		t.Row("no part has played")
	}
	return t.Write(w, width)
}

// HabitTable writes in how many notes each habit changed something, in all parts together.
// An error is that of w.
func HabitTable(w io.Writer, rows []Row, width int) error {
	var habits []HabitCount
	for _, r := range rows {
		for _, c := range r.Habits {
			habits = addHabit(habits, c)
		}
	}
	var items []string
	for _, r := range habits {
		items = append(items, fmt.Sprintf("%s %d", r.Habit, r.Notes))
	}
	if items == nil {
		items = []string{"none"}
	}
	t := layout.Table{Columns: []layout.Column{{Words: true}, {Words: true}}}
	t.Row("habits applied, in notes:", strings.Join(items, ", "))
	return t.Write(w, width)
}

func addHabit(habits []HabitCount, c HabitCount) []HabitCount {
	for i := range habits {
		if habits[i].Habit == c.Habit {
			habits[i].Notes += c.Notes
			return habits
		}
	}
	return append(habits, c)
}
