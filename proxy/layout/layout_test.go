package layout_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"swellbox/proxy/layout"
)

func TestText(t *testing.T) {
	text := `swellbox turns flat playback into a performance and
compares the two.

Start with:
  swellbox demo    no device needed, and nothing but a folder to write to
  one  and two
and so on.`
	want := `swellbox turns flat playback into a
performance and compares the two.

Start with:
  swellbox demo    no device needed, and
                   nothing but a folder
                   to write to
  one  and two
and so on.`
	if got := layout.Text(text, 40); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestWrap(t *testing.T) {
	got := layout.Wrap("Flöte and a very long path/to/some/file/in/a/folder/of/a/folder here", 40, "  ")
	if want := "Flöte and a very long\n  path/to/some/file/in/a/folder/of/a/folder\n  here"; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// some is a table of words, numbers and two places.
func some() *layout.Table {
	t := &layout.Table{Rule: true, Columns: []layout.Column{
		{Title: "part", Words: true}, {Title: "plays", Words: true},
		{Title: "hall\ncovered", Right: true}, {Title: "\nheard", Right: true, With: true},
		{Title: "studio\ncovered", Right: true}, {Title: "\nheard", Right: true, With: true},
	}}
	t.Row("Flute 1", "flute", "12", "100", "0", "3")
	t.Row("Violins I, first desk and second", "violins in a large section", "1", "2", "3", "4")
	return t
}

func TestTable(t *testing.T) {
	for width, want := range map[int]string{
		100: `part                              plays                          hall          studio
                                                              covered  heard  covered  heard
────────────────────────────────────────────────────────────────────────────────────────────
Flute 1                           flute                            12    100        0      3
Violins I, first desk and second  violins in a large section        1      2        3      4
`,
		60: `part           plays             hall          studio
                              covered  heard  covered  heard
────────────────────────────────────────────────────────────
Flute 1        flute               12    100        0      3
Violins I,     violins in a         1      2        3      4
first desk     large section
and second
`,
		42: `part          plays            hall
                            covered  heard
──────────────────────────────────────────
Flute 1       flute              12    100
Violins I,    violins in a        1      2
first desk    large
and second    section

part                         studio
                            covered  heard
──────────────────────────────────────────
Flute 1                           0      3
Violins I, first desk and         3      4
second
`,
	} {
		var b strings.Builder
		if err := some().Write(&b, width); err != nil {
			t.Fatal(err)
		}
		if got := b.String(); got != want {
			t.Errorf("at %d columns got\n%s\nwant\n%s", width, got, want)
		}
	}
}

// Nothing is lost at any width, and no line is wider unless a number has no other room.
func TestNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.StringMatching(`[a-zäö]{1,9}( [a-zäö]{1,30}){0,6}`)
		n := rapid.IntRange(1, 9).Draw(t, "columns")
		table := &layout.Table{Indent: rapid.IntRange(0, 4).Draw(t, "indent"), Columns: []layout.Column{{Words: true}}}
		for i := range n {
			table.Columns = append(table.Columns, layout.Column{Right: true, With: i > 0 && rapid.Bool().Draw(t, "with")})
		}
		var letters, numbers []string
		for range rapid.IntRange(1, 5).Draw(t, "rows") {
			row := []string{words.Draw(t, "name")}
			letters = append(letters, strings.ReplaceAll(row[0], " ", ""))
			for range n {
				row = append(row, fmt.Sprint(rapid.IntRange(0, 99999).Draw(t, "number")))
			}
			numbers = append(numbers, row[1:]...)
			table.Row(row...)
		}
		width := rapid.IntRange(20, 120).Draw(t, "width")
		var b strings.Builder
		if err := table.Write(&b, width); err != nil {
			t.Fatal(err)
		}
		found := strings.Fields(b.String())
		for _, x := range numbers {
			if !slices.Contains(found, x) {
				t.Fatalf("the number %s is lost:\n%s", x, b.String())
			}
		}
		all := strings.Map(func(r rune) rune {
			if r >= '0' && r <= '9' || r == ' ' || r == '\n' {
				return -1
			}
			return r
		}, b.String())
		for _, x := range letters {
			if !strings.Contains(all, x) {
				t.Fatalf("the words %s are lost:\n%s", x, b.String())
			}
		}
		if n > 1 && slices.ContainsFunc(table.Columns[2:], func(c layout.Column) bool { return c.With }) {
			return // what stays together may take more
		}
		for line := range strings.Lines(b.String()) {
			if got := utf8.RuneCountInString(strings.TrimRight(line, "\n")); got > max(width, layout.Narrowest) {
				t.Fatalf("a line of %d columns at %d:\n%s", got, width, b.String())
			}
		}
	})
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestTableToAFullDisk(t *testing.T) {
	if err := some().Write(full{}, 80); err == nil || err.Error() != "cannot write the table: disk full" {
		t.Errorf("the error is %v", err)
	}
}
