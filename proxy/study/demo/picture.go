package demo

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"
	"unicode/utf8"
)

// View is what [Picture] shows: plain data, in the order in which it is drawn.
type View struct {
	Title string
	Bars  []time.Duration // the start of each bar, rising; may be empty
	End   time.Duration   // the end of the piece; not positive: the last moment of the data
	Tempo []Sample        // of the ensemble, percent of the written
	Parts []PartView      // in score order
}

// PartView is one row. Samples are in order of time, and each holds until the next.
type PartView struct {
	Name    string
	Profile string
	Raw     []Sample // level, dB re the instrument's mf, as it came in
	Shaped  []Sample // the same, as it went out
	Vibrato []Sample // depth, cents peak to peak
	Pedal   []Sample // how deep it is down, 0 to 1
	Late    []Sample // by how much later each note starts than written, ms, at its written time
	Notes   []Span   // when a note sounds; levels are drawn there only. Empty: throughout
}

// Sample is a value from a moment on. NaN and the infinities stand for unknown:
// nothing is drawn until the next.
type Sample struct {
	At    time.Duration
	Value float64
}

// Span is a stretch of time.
type Span struct{ From, To time.Duration }

// Measures of the picture in pixels at full size. The text is large enough to be
// read when the 1200 are shrunk to a phone held sideways.
const (
	pictureWidth = 1200
	margin       = 24
	plotLeft     = 236
	plotRight    = 1130
	plotWidth    = plotRight - plotLeft

	headerHeight = 178
	stripHeight  = 30 // bar numbers, above every group of rows
	groupRows    = 7
	footerHeight = 50

	rowHeight   = 124
	levelTop    = 10 // from the row's top
	levelHeight = 80
	notesTop    = levelTop + levelHeight + 3
	notesHeight = 3
	vibratoTop  = notesTop + notesHeight + 4
	vibratoHigh = 18

	nameRunes  = 18 // what fits left of the plot
	titleRunes = 70
)

// Colours are told apart by people with any of the common colour-vision
// deficiencies: they differ in lightness, and blue is set against orange.
const pictureStyle = `
text{font-family:system-ui,sans-serif;font-size:17px;fill:#1b1b1b}
.title{font-size:28px;font-weight:600}
.name{font-size:19px;font-weight:600}
.soft{fill:#484848}
.tick{font-size:15px;fill:#484848}
.raw{fill:none;stroke:#757575;stroke-width:2}
.shaped{fill:none;stroke:#0d2f5b;stroke-width:2}
.louder{fill:#e58a1f;fill-opacity:.6}
.softer{fill:#62b0de;fill-opacity:.6}
.vibrato{fill:#9c1f63}
.note{fill:#a8a8a8}
.bar{fill:none;stroke:#ececec}
.mark{fill:none;stroke:#cfcfcf}
.level{fill:none;stroke:#e2e2e2;stroke-dasharray:2 4}
.rule{fill:none;stroke:#9a9a9a}
.stem{fill:none;stroke:#0d2f5b;stroke-width:1.5}
.pedal{fill:#4d6b3c}
`

// Picture writes a self-contained SVG that shows every part before and after
// shaping: level against level, and the depth of the vibrato. It is pictureWidth
// pixels wide, as high as the parts need, and never holds more points than it has
// pixels, however long the piece: a pixel shows the mean of its time. An error is
// that of w.
func Picture(w io.Writer, view View) error {
	var c canvas
	p := newPlot(view)
	rows := make([]row, len(view.Parts))
	for i, part := range view.Parts {
		rows[i] = p.row(part)
	}
	height := headerHeight + footerHeight
	if n := len(rows); n > 0 {
		height += n*rowHeight + (n+groupRows-1)/groupRows*stripHeight
	}
	c.open(view.Title, describe(p, rows), height)
	c.header(view, p)
	y := headerHeight
	for i := range rows {
		if i%groupRows == 0 {
			y += stripHeight
			c.grid(p, y, y+rowHeight*min(groupRows, len(rows)-i))
		}
		c.row(p, &rows[i], y)
		y += rowHeight
		if i+1 == len(rows) || (i+1)%groupRows == 0 {
			c.rule(y)
		}
	}
	if len(rows) == 0 {
		c.text(margin, headerHeight+10, "", "start", "No part has played, so there is nothing to show.")
	} else {
		c.times(p, y)
	}
	c.WriteString("</svg>\n")
	if _, err := w.Write(c.Bytes()); err != nil {
		return fmt.Errorf("cannot write the picture: %w", err)
	}
	return nil
}

// describe says in words what the picture shows, for those who cannot see it.
func describe(p *plot, rows []row) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Level and vibrato of %s over %s, %s long, as the notation program plays them and as shaped.",
		count(len(rows), "part"), count(len(p.bars), "bar"), clock(p.end))
	for _, r := range rows {
		fmt.Fprintf(&b, " %s, profile %s: %s, %s.", r.part.Name, r.part.Profile, r.levelText(), r.vibratoText())
	}
	return b.String()
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// clock is minutes and seconds.
func clock(d time.Duration) string {
	s := int(d.Round(time.Second) / time.Second)
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// decibels is a level change with its sign, by the minus sign proper.
func decibels(v float64) string {
	v = math.Round(v*10) / 10
	if v == 0 {
		return "0.0" // never -0.0
	}
	return strings.Replace(fmt.Sprintf("%+.1f", v), "-", "−", 1)
}

// shorten cuts s to n characters, the last of them an ellipsis if any is missing.
func shorten(s string, n int) string {
	if utf8.RuneCountInString(s) <= n {
		return s
	}
	return strings.TrimSpace(string([]rune(s)[:n-1])) + "…"
}
