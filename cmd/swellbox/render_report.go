package main

import (
	"cmp"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/profiles"
	"swellbox/proxy/layout"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

// The summary stays on one screen of 24 lines at 60 columns and more, the last of which is
// where one types. mostSeated and mostDoubtful are the most lines of these paragraphs, what to
// listen for has the rest; where that would be fewer than leastHeard things, they give way, down
// to leastLines.
const (
	screen       = 23
	mostSeated   = 6
	mostDoubtful = 5
	leastLines   = 2
	mostHeard    = 5
	leastHeard   = 3
	mostWarnings = 3
)

// printSummary says what matters of a render: who is seated as what, of whom that is
// doubtful, and what to listen for. With details all that is doubtful is said in full.
func printSummary(p *program.Program, in, out string, r *offline.Report, details bool) {
	width := min(p.Width(), layout.Broadest)
	head := layout.Text(fmt.Sprintf("%s: %s of %s, shaped.", out, tell.Counted(r.NotesOut, "note"), tell.Counted(len(r.Parts), "part")), width) + "\n"
	doubtful, how := doubted(r.Parts, details), layout.Text(toCorrect(in), width)+"\n"
	middle := func(seats, doubts int) (text string) {
		if len(r.Parts) > 0 {
			text = "\n" + clipped("Seated: ", seated(r.Parts), seats, width) + "\n"
		}
		if details {
			doubts = math.MaxInt
		}
		if doubtful != nil {
			text += "\n" + clipped("Doubtful: ", doubtful, doubts, width) + "\n" + how
		}
		return text
	}
	compare := fmt.Sprintf("Compare it with %s.", in)
	if !details {
		compare += moreTold
	}
	end := layout.Text("\nControllers: "+sentTold(r)+".", width) + "\n" + layout.Text("Time: "+timingTold(r.Timing)+".", width) + "\n" + layout.Text(compare, width) + "\n"
	all := demo.ListenFor(r)
	seats, doubts := mostSeated, max(mostDoubtful-strings.Count(how, "\n")+1, leastLines)
	for {
		text := head + middle(seats, doubts)
		room := screen - strings.Count(text, "\n") - strings.Count(end, "\n")
		listen, n := listenFor(all, room, width)
		switch {
		case n >= min(len(all), leastHeard) || details || seats <= leastLines && doubts <= leastLines:
			io.WriteString(p.Out, text+listen+end)
			return
		case seats > leastLines:
			seats--
		default:
			doubts--
		}
	}
}

// moreTold says at the end of a summary where more is told.
const moreTold = " More is told with --details."

// doubted is of which parts it is doubtful what they play, or how many.
func doubted(parts []perform.PartReport, details bool) []item {
	var doubtful, minor []item // a wrong instrument is worse than a wrong number
	for i := range parts {
		part := &parts[i]
		switch doubts := part.Doubts(); {
		case part.Doubt != "" && details:
			doubtful = append(doubtful, sentences(doubts)...)
		case part.Doubt != "":
			doubtful = append(doubtful, item{says: briefly(part)})
		case doubts != nil:
			minor = append(minor, sentences(doubts)...)
		case isDoubtful(part):
			doubtful = append(doubtful, item{says: fmt.Sprintf("%s is taken for %s by %s", called(part), part.Profile, part.Why)})
		}
	}
	return append(doubtful, minor...)
}

func called(part *perform.PartReport) string { return perform.Called(part.Name, part.Profile) }

// briefly says of a part that its instrument is doubtful, and why; --details says more.
func briefly(part *perform.PartReport) string {
	if strings.Contains(part.Why, "as it stands") {
		return fmt.Sprintf("%s as %s, for its place in the score", called(part), part.Profile)
	}
	return fmt.Sprintf("%s as %s: %s", called(part), part.Profile, part.Doubt)
}

// listenFor lays out what to listen for in so many lines, one thing at the least, and says
// how many it has. Where few have room, each names the part alone that shows it best.
func listenFor(all []demo.Heard, room, width int) (text string, n int) {
	for who := demo.MostWho; who > 0; who-- {
		for n = min(len(all), mostHeard); n > 0; n-- {
			text = listenLines(all[:n], who, width)
			if strings.Count(text, "\n") <= room || n == 1 && who == 1 {
				break
			}
		}
		if n >= min(len(all), leastHeard) {
			break
		}
	}
	return text, n
}

func listenLines(all []demo.Heard, who, width int) string {
	t := layout.Table{Indent: 2, Columns: []layout.Column{{Words: true}, {Words: true}}}
	for _, h := range all {
		t.Row(h.What, strings.Join(h.Who[:min(len(h.Who), who)], ", "))
	}
	var b strings.Builder
	b.WriteString("\nListen for:\n")
	t.Write(&b, width) // which cannot fail
	return b.String()
}

// seated says who plays as what; neighbours who play alike together.
func seated(parts []perform.PartReport) (all []item) {
	for i := range parts {
		part := &parts[i]
		as := asWhat(part)
		if i > 0 && as == asWhat(&parts[i-1]) {
			last := &all[len(all)-1]
			last.names = append(last.names, called(part))
			continue
		}
		all = append(all, item{names: []string{called(part)}, says: " as " + as})
	}
	return all
}

// item is an entry of a list: some parts, and what is said of them.
type item struct {
	names []string
	says  string
}

func (i item) String() string {
	says := i.says
	if len(i.names) > 1 {
		says = strings.Replace(says, " players", " players each", 1)
	}
	return tell.InWords(i.names, "and") + says
}

// sentences are entries that say themselves of whom they are.
func sentences(texts []string) (all []item) {
	for _, text := range texts {
		all = append(all, item{says: text})
	}
	return all
}

// isDoubtful reports whether a part's profile was found by less than its own name or a
// seating.
func isDoubtful(part *perform.PartReport) bool {
	return part.Why != "the seating" && !strings.HasPrefix(part.Why, "the track name ")
}

// clipped is a list behind a word, of at most so many lines; the last says for how many
// parts it had no room.
func clipped(word string, items []item, lines, width int) string {
	more := 0
	for n := len(items); ; n-- {
		texts := make([]string, n, n+1)
		for i := range texts {
			texts[i] = items[i].String()
		}
		if more > 0 {
			texts = append(texts, fmt.Sprintf("and %d more", more))
		}
		list := strings.Join(texts, "; ")
		text := layout.Wrap(word+list, width, "  ")
		if n <= 1 || strings.Count(text, "\n") < lines {
			return text
		}
		more += max(len(items[n-1].names), 1)
	}
}

// printDetails lists the parts with what was done to how many of their notes, and how
// each profile was found.
func printDetails(p *program.Program, r *offline.Report) {
	t := layout.Table{Columns: []layout.Column{
		{Title: "part", Words: true}, {Title: "profile", Words: true}, {Title: "notes", Right: true}, {Title: "notes by habit", Words: true},
	}}
	for i := range r.Parts {
		part := &r.Parts[i]
		t.Row(part.Name, withOrigin(*part), fmt.Sprint(part.Notes), strings.Join(shapedBy(*part), " "))
	}
	t.Write(p.Out, min(p.Width(), layout.Broadest))
	fmt.Fprintln(p.Out)
	found := layout.Table{Columns: []layout.Column{{Title: "part", Words: true}, {Title: "profile", Words: true}, {Title: "found by", Words: true}}}
	for i := range r.Parts {
		found.Row(r.Parts[i].Name, asWhat(&r.Parts[i]), r.Parts[i].Why)
	}
	found.Write(p.Out, min(p.Width(), layout.Broadest))
	fmt.Fprintln(p.Out)
}

// warnBriefly says the first warnings only, unless all are asked for.
func warnBriefly(p *program.Program, warnings []string, all bool) {
	if more := len(warnings) - mostWarnings; more > 1 && !all {
		warnings = append(slices.Clone(warnings[:mostWarnings]), fmt.Sprintf("and %s more; --details shows all", tell.Counted(more, "warning")))
	}
	p.Warn(warnings)
}

// shapedBy is what was done to a part's notes: the habits that shaped them all, and then the
// others with their counts, most first.
func shapedBy(part perform.PartReport) []string {
	var habits []string
	for _, habit := range slices.Sorted(maps.Keys(part.Habits)) {
		if part.Habits[habit] > 0 {
			habits = append(habits, habit)
		}
	}
	slices.SortStableFunc(habits, func(a, b string) int { return cmp.Compare(part.Habits[b], part.Habits[a]) })
	if habits == nil {
		return []string{"nothing"}
	}
	for i, habit := range habits {
		n, stop := part.Habits[habit], ","
		switch {
		case i+1 == len(habits):
			stop = ""
		case n == part.Notes && part.Habits[habits[i+1]] != n:
			stop = ";"
		}
		switch {
		case n < part.Notes:
			habits[i] = fmt.Sprintf("%s %d%s", habit, n, stop)
		case i == 0:
			habits[i] = "all: " + habit + stop
		default:
			habits[i] = habit + stop
		}
	}
	return habits
}

// withOrigin is a part's profile, and where it comes from unless it is built in.
func withOrigin(p perform.PartReport) string {
	if p.Origin == "" || p.Origin == string(profiles.BuiltIn) {
		return p.Profile
	}
	return p.Profile + " (" + p.Origin + ")"
}
