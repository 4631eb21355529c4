// Package svg is what all pictures of this program are written by: how they begin, and text in
// them. What is drawn is the business of those who draw.
package svg

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"
)

// Escaped is text for XML.
func Escaped(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // which cannot fail on a buffer
	return b.String()
}

// Number is a coordinate to a tenth of a pixel.
func Number(v float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(v, 'f', 1, 64), ".0")
}

// Canvas is a picture as it is written.
type Canvas struct{ bytes.Buffer }

// Open begins a picture of a size in pixels that shrinks with the page it stands in. label is
// what it is called where there is a picture only; empty for none.
func (c *Canvas) Open(width, height int, label string) {
	fmt.Fprintf(c, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%[1]d" height="%d" style="max-width:100%%;height:auto" role="img"`, width, height)
	if label != "" {
		fmt.Fprintf(c, ` aria-label="%s"`, Escaped(label))
	}
	c.WriteString(">\n")
}

// About says in words what the picture shows, for those who cannot see it, and gives its style and
// its white ground. before stands between the two.
func (c *Canvas) About(title, about, style, before string, width, height int) {
	fmt.Fprintf(c, "<title>%s</title>\n<desc>%s</desc>\n<style>%s</style>\n%s<rect width=\"%d\" height=\"%d\" fill=\"#fff\"/>\n",
		Escaped(title), Escaped(about), style, before, width, height)
}

// Text writes a line at a point. class is empty for none, anchor is start, middle or end.
func (c *Canvas) Text(x, y float64, class, anchor, s string) {
	fmt.Fprintf(c, `<text x="%s" y="%s"`, Number(x), Number(y))
	if class != "" {
		fmt.Fprintf(c, ` class="%s"`, class)
	}
	if anchor != "start" {
		fmt.Fprintf(c, ` text-anchor="%s"`, anchor)
	}
	fmt.Fprintf(c, ">%s</text>\n", Escaped(s))
}
