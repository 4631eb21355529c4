package demo

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// EffectTable writes what each rule changes by itself as plain text of at most 100 columns.
// An error is that of w.
func EffectTable(w io.Writer, effects []Effect) error {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s  %5s  %s\n%s\n", pad("each rule alone", 15), "notes", "changes at most", strings.Repeat("─", tableWidth))
	for i := range effects {
		e := &effects[i]
		fmt.Fprintf(&b, "%s  %5d", pad(e.Rule, 15), e.Notes)
		const from = 15 + 2 + 5
		column := from
		for j, what := range e.texts() {
			n := utf8.RuneCountInString(what)
			switch {
			case j == 0:
				b.WriteString("  ")
			case column+2+n > tableWidth:
				fmt.Fprintf(&b, ",\n%*s", from+2, "")
				column = from
			default:
				b.WriteString(", ")
			}
			b.WriteString(what)
			column += 2 + n
		}
		b.WriteByte('\n')
	}
	if _, err := w.Write(b.Bytes()); err != nil {
		return fmt.Errorf("cannot write the table: %w", err)
	}
	return nil
}
