package demo

import (
	"fmt"
	"io"
	"strings"

	"swellbox/proxy/layout"
)

// EffectTable writes what each habit changes by itself as plain text of so many columns.
// An error is that of w.
func EffectTable(w io.Writer, effects []Effect, width int) error {
	t := layout.Table{Rule: true, Columns: []layout.Column{
		{Title: "each habit alone", Words: true}, {Title: "notes", Right: true}, {Title: "changes at most", Words: true},
	}}
	for i := range effects {
		e := &effects[i]
		t.Row(e.Habit, fmt.Sprint(e.Notes), strings.Join(e.texts(), ", "))
	}
	return t.Write(w, width)
}
