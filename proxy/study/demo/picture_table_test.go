package demo

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestTable(t *testing.T) {
	var rows []Row
	for i, p := range Parts() {
		rows = append(rows, Row{
			Part: p.Name, Profile: "profile", Notes: 10 * i,
			LevelMedian: float64(i) - 3, LevelLow: -12.25, LevelHigh: float64(i),
			VibratoCents: 35.4, VibratoShare: float64(i%3) / 3, BrightnessDB: -0.04,
			Habits: []HabitCount{{"dynamics", 10 * i}, {"bloom", i}, {"weight in the ensemble", 3}},
		})
	}
	rows = append(rows, Row{
		Part: "A part with a name that is too long", Profile: "übermäßig langes Profil", Notes: 1234567,
		LevelMedian: -100, LevelLow: -100, LevelHigh: 100, VibratoCents: 1200, VibratoShare: 1, BrightnessDB: -20,
		Habits: []HabitCount{{"a habit only here, of a name that needs the next line", 1}, {"dynamics", 5}},
	})
	var b bytes.Buffer
	for _, width := range []int{60, 100} {
		fmt.Fprintf(&b, "%d columns:\n", width)
		before := b.Len()
		if err := errors.Join(Table(&b, rows, width), HabitTable(&b, rows, width)); err != nil {
			t.Fatal(err)
		}
		for l := range strings.Lines(b.String()[before:]) {
			if n := utf8.RuneCountInString(strings.TrimSuffix(l, "\n")); n > width {
				t.Errorf("%d columns: %s", n, l)
			}
		}
	}
	golden(t, "table.txt", b.Bytes())
	if !strings.Contains(b.String(), "dynamics 2105,") {
		t.Error("the sum of a habit over the parts is missing")
	}
}

func TestTableWithoutRows(t *testing.T) {
	var b bytes.Buffer
	if err := Table(&b, nil, 100); err != nil || !strings.HasSuffix(b.String(), "\nno part has played\n") {
		t.Errorf("error %v, table:\n%s", err, b.String())
	}
	if err := Table(full{}, nil, 100); err == nil || err.Error() != "cannot write the table: disk full" {
		t.Errorf("error %v", err)
	}
}
