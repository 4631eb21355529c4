package readers

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Stage is what is taken out of a score before both read it.
type Stage int

const (
	AsItStands Stage = iota
	OnceThrough
	Plain
	stages
)

// Stages are all stages in their order.
func Stages() []Stage { return []Stage{AsItStands, OnceThrough, Plain} }

// String says what is compared.
func (s Stage) String() string {
	return [stages]string{
		"as they stand", "without repeats and jumps", "and without grace notes, small notes, rests past the bar line, ties whose ends do not meet",
	}[s]
}

// Of is the text of a score without what the stage takes out.
func (s Stage) Of(text string) string {
	if s >= OnceThrough {
		for _, r := range ways {
			text = r.pattern.ReplaceAllString(text, r.becomes)
		}
	}
	if s >= Plain {
		text = plain(text)
	}
	return text
}

// ways are the elements and attributes that say in which order measures are played. The other reader
// takes words for jumps, too.
var ways = []struct {
	pattern *regexp.Regexp
	becomes string
}{
	{regexp.MustCompile(`<repeat\b[^>]*/>`), ""},
	{regexp.MustCompile(`<ending\b[^>]*(?:/>|>[^<]*</ending>)`), ""},
	{regexp.MustCompile(` (?:dacapo|dalsegno|fine|tocoda|segno|coda|time-only|forward-repeat)="[^"]*"`), ""},
	{regexp.MustCompile(`<(?:segno|coda)\b[^>]*/>`), "<words/>"},
	{regexp.MustCompile(`<words\b[^>]*>[^<]*</words>`), "<words/>"},
}

var (
	comment  = regexp.MustCompile(`(?s)<!--.*?-->`)
	item     = regexp.MustCompile(`(?s)<note\b.*?</note>|<(?:backup|forward)\b.*?</(?:backup|forward)>|<divisions>.*?</divisions>|<time\b[^>]*>.*?</time>|</measure>|</part>`)
	duration = regexp.MustCompile(`<duration>([^<]*)</duration>`)
	number   = regexp.MustCompile(`<(?:divisions|beats|beat-type)>\s*(\d+)`)
	pitch    = regexp.MustCompile(`(?s)<pitch>.*?</pitch>`)
	tie      = regexp.MustCompile(`<(?:tie|tied)\b[^>]*type="(start|stop)"[^>]*(?:/>|>[^<]*</tied>)`)
)

// piece is an element of a part, with the text before it, and what becomes of it.
type piece struct {
	before, text string
	at, end      float64 // in quarter notes since the measure's start, then since the part's
}

func (e *piece) is(name string) bool  { return strings.HasPrefix(e.text, "<"+name) }
func (e *piece) has(name string) bool { return strings.Contains(e.text, "<"+name) }
func (e *piece) sounds() bool         { return e.is("note") && e.has("pitch") }

// plain takes out what the standard leaves open, or was decided here otherwise than by the other reader.
func plain(text string) string {
	text = comment.ReplaceAllString(text, "")
	p := newPart()
	var b strings.Builder
	from := 0
	for _, at := range item.FindAllStringIndex(text, -1) {
		p.take(text[from:at[0]], text[at[0]:at[1]])
		from = at[1]
		if text[at[0]:at[1]] == "</part>" {
			p.write(&b)
			p = newPart()
		}
	}
	p.write(&b)
	b.WriteString(text[from:])
	return b.String()
}

// part is a part as it is read.
type part struct {
	pieces    []piece
	measure   []int // indices of what takes time in the present one
	divisions float64
	bar       float64 // quarter notes in a bar, by the time signature
	start     float64 // of the measure
}

func newPart() *part { return &part{divisions: 1, bar: 4} }

func (p *part) take(before, text string) {
	p.pieces = append(p.pieces, piece{before: before, text: text})
	e := &p.pieces[len(p.pieces)-1]
	numbers := number.FindAllStringSubmatch(text, -1)
	value := func(i int) float64 {
		v, _ := strconv.ParseFloat(numbers[i][1], 64)
		return max(v, 1)
	}
	switch {
	case e.is("note") && e.has("grace"):
		e.text = ""
	case e.is("note") && (e.has("cue") || e.has("unpitched")):
		e.text = pitch.ReplaceAllString(tie.ReplaceAllString(text, ""), "<rest/>")
		p.measure = append(p.measure, len(p.pieces)-1)
	case e.is("note"), e.is("backup"), e.is("forward"):
		p.measure = append(p.measure, len(p.pieces)-1)
	case text == "</measure>":
		p.close()
	case e.is("divisions") && len(numbers) > 0:
		p.divisions = value(0)
	case e.is("time") && len(numbers) == 2:
		p.bar = value(0) * 4 / value(1)
	}
}

// close has what is silent in a measure end with it.
func (p *part) close() {
	limit := p.bar
	at, before := 0.0, 0.0
	for _, i := range p.measure {
		e := &p.pieces[i]
		d := 0.0
		if m := duration.FindStringSubmatch(e.text); m != nil {
			d, _ = strconv.ParseFloat(strings.TrimSpace(m[1]), 64)
		}
		d /= p.divisions
		switch {
		case e.is("backup"):
			e.at, e.end = at, max(at-d, 0)
			at = e.end
		case e.has("chord"):
			e.at, e.end = before, before+d
		default:
			e.at, e.end = at, at+d
			before, at = at, at+d
		}
		if e.sounds() {
			limit = max(limit, e.end)
		}
	}
	now, longest := 0.0, 0.0 // with what is silent cut
	for _, i := range p.measure {
		e := &p.pieces[i]
		if !e.sounds() {
			from, to := now, min(e.end, limit)
			if e.is("backup") {
				from, to = to, now
			}
			ticks := int64(math.Round((to - from) * p.divisions))
			if ticks <= 0 {
				e.text = ""
			} else {
				e.text = duration.ReplaceAllString(e.text, fmt.Sprintf("<duration>%d</duration>", ticks))
			}
		}
		if !e.has("chord") {
			now = min(e.end, limit)
		}
		longest = max(longest, now)
		e.at, e.end = e.at+p.start, e.end+p.start
	}
	p.start += longest
	p.measure = p.measure[:0]
}

// write writes a part, with ties only where a note ends as the other begins.
func (p *part) write(b *strings.Builder) {
	type end struct {
		at  int64
		key string
	}
	of := func(e *piece, at float64) end {
		return end{int64(math.Round(at * Ticks)), pitch.FindString(e.text)}
	}
	starts, stops := map[end]bool{}, map[end]bool{}
	tied := func(e *piece, kind string) bool {
		return e.sounds() && slices.ContainsFunc(tie.FindAllStringSubmatch(e.text, -1), func(m []string) bool { return m[1] == kind })
	}
	for i := range p.pieces {
		e := &p.pieces[i]
		if tied(e, "start") {
			starts[of(e, e.end)] = true
		}
		if tied(e, "stop") {
			stops[of(e, e.at)] = true
		}
	}
	for i := range p.pieces {
		e := &p.pieces[i]
		b.WriteString(e.before)
		if !e.sounds() {
			b.WriteString(e.text)
			continue
		}
		meets := map[string]bool{"start": stops[of(e, e.end)], "stop": starts[of(e, e.at)]}
		b.WriteString(tie.ReplaceAllStringFunc(e.text, func(t string) string {
			if meets[tie.FindStringSubmatch(t)[1]] {
				return t
			}
			return ""
		}))
	}
}
