package learn

import (
	"fmt"
	"strings"

	"swellbox/expr"
)

// Document is the profile of what was learnt: it extends the profile that the amounts were of,
// and is a document like any other. takes is who or what was learnt from, in a few words.
func (l *Learnt) Document(name, takes string) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "# Learnt from %s: %d notes.\n", oneLine(takes), l.Notes)
	fmt.Fprintf(&b, "swellbox: 1\nname: %s\nextends: %s\n", name, l.Profile)
	var under []string
	for i := range l.Amounts {
		a := &l.Amounts[i]
		line := fmt.Sprintf("amount: %.2f} # was %.2f, give or take %.2f%s", a.Amount, a.Was, a.Error, unsure(a))
		switch about := a.Habit; {
		case about.All:
			fmt.Fprintf(&b, "# %s: play with --%s %.2f\n", plain(about), about.Flag(), a.Amount)
		case about.Own:
			fmt.Fprintf(&b, "%s: {%s\n", about.Key, line)
		case len(about.Settings) > 0:
			under = append(under, fmt.Sprintf("  %s: {%s", about.Key, line))
		default:
			under = append(under, fmt.Sprintf("  %s: %s", about.Key, strings.Replace(strings.TrimPrefix(line, "amount: "), "}", "", 1)))
		}
	}
	if len(under) > 0 {
		fmt.Fprintf(&b, "habits:\n%s\n", strings.Join(under, "\n"))
	}
	return []byte(b.String())
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func unsure(a *Amount) string {
	if a.Sure() {
		return ""
	}
	return ": not sure"
}

// Words say what was learnt, a sentence each, what is surest first.
func (l *Learnt) Words() (words []string) {
	for i := range l.Amounts {
		if a := &l.Amounts[i]; a.Sure() {
			words = append(words, fmt.Sprintf("%s: %s (%.2g times the usual, give or take %.2g)", plain(a.Habit), much(a), a.Amount/a.Was, a.Error/a.Was))
		}
	}
	if len(words) == 0 {
		words = append(words, "nothing that can be told from how players were measured: more or longer takes tell more")
	}
	over, was := l.Theirs.TopOver, l.Before.TopOver
	words = append(words,
		fmt.Sprintf("the highest notes stand %.0f velocities over the rest of their chords (the profile: %.0f)", over, was),
		fmt.Sprintf("levels spread by %.0f velocities (%.0f), the tempo by %.0f percent (%.0f)", l.Theirs.LevelSD, l.Before.LevelSD, 100*l.Theirs.TempoSD, 100*l.Before.TempoSD),
		fmt.Sprintf("the pedal is down %.0f percent of the time (%.0f)", 100*l.Theirs.PedalDown, 100*l.Before.PedalDown))
	return words
}

// plain is a habit's sentence without its stop.
func plain(about *expr.About) string { return strings.TrimSuffix(about.Sentence, ".") }

func much(a *Amount) string {
	switch ratio := a.Amount / a.Was; {
	case ratio > 1.6:
		return "far more than usual"
	case ratio > 1:
		return "more than usual"
	case ratio < 0.4:
		return "hardly"
	default:
		return "less than usual"
	}
}
