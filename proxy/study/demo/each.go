package demo

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"slices"

	"swellbox/expr/engine"
	"swellbox/expr/habits"
	"swellbox/proxy"
	"swellbox/proxy/formats/smf"
)

// Manner is how the demonstration is played: by all rules, the score known, with half of
// the published rubato, which is written as tempos so that notes stay in their bars.
func Manner() proxy.Manner {
	return proxy.Manner{Scored: true, Lookahead: 2 * engine.MaxSway, Rubato: 0.5, Tempos: true, GiveBack: true, Seed: 1}
}

// ground are the rules that every performance by one rule rests on: they set the level
// that the others start from.
var ground = []string{"expression", "weighting"}

// Solo is a performance by one rule alone.
type Solo struct {
	Name   string // the rule's, or [Raw] or [All]
	File   *smf.File
	Report *proxy.Report // nil of the raw performance
}

// Names of the performances that are not by one rule.
const (
	Raw = "raw"
	All = "all"
)

// EachRule performs a score raw, by each rule alone in their order, and by all. Beside its
// own rule each performance has those that set the level, expression and weighting; these
// two themselves are performed as expression alone, and as both.
func EachRule(ctx context.Context, score *smf.File, cast *proxy.Cast) ([]Solo, error) {
	solos := []Solo{{Name: Raw, File: score}}
	for _, rule := range habits.Usual() {
		name := rule.Name()
		m := Manner()
		m.Only = []string{name}
		if name != ground[0] {
			m.Only = slices.Compact(slices.Sorted(slices.Values(append(m.Only, ground...))))
		}
		solo, err := perform(ctx, name, score, cast, m)
		if err != nil {
			return nil, err
		}
		solos = append(solos, solo)
	}
	both, err := Together(ctx, score, cast)
	if err != nil {
		return nil, err
	}
	return append(solos, both[1]), nil
}

// Together performs a score raw, and by all rules: the first and the last of [EachRule].
func Together(ctx context.Context, score *smf.File, cast *proxy.Cast) ([]Solo, error) {
	all, err := perform(ctx, All, score, cast, Manner())
	if err != nil {
		return nil, err
	}
	return []Solo{{Name: Raw, File: score}, all}, nil
}

func perform(ctx context.Context, name string, score *smf.File, cast *proxy.Cast, m proxy.Manner) (Solo, error) {
	file, report, err := proxy.Render(ctx, score, cast, m)
	if err != nil {
		return Solo{}, fmt.Errorf("performing by %s: %w", name, err)
	}
	return Solo{Name: name, File: file, Report: report}, nil
}

// listenFor says in plain words what is to be heard of each performance, bars of the
// demonstration score with it.
var listenFor = map[string]string{
	Raw:            "the score as a notation program plays it: every note on time, and at the level of its mark to the end",
	"expression":   "the written marks as the same level for every instrument; nobody listens to anybody yet",
	"articulation": "slurred notes run into each other: flute, bars 3 to 7, violins I, bars 9 to 12",
	"contrast":     "quick notes are a little shorter and softer than long ones: violins II and violas, bars 13 to 24",
	"charge":       "notes that are foreign to their chord, and chords far from G major, stand out",
	"breath":       "air between phrases: oboes before bar 21, flute 1 and clarinets before bar 23",
	"phrase":       "each phrase grows to its middle and falls to its end: flute, bars 2 to 7",
	"high-loud":    "lines grow as they rise and fade as they sink: violins I, bars 9 to 12",
	"accent":       "the notes where a melody turns or leaps speak a little more",
	"metre":        "the two beats of the bar can be felt, the first more than the second: violins I, bars 16 to 23",
	"voicing":      "the piano's upper line over what it accompanies itself with, bars 7 to 12",
	"yield":        "who accompanies steps back behind the tune: strings under the flute, bars 4 to 7",
	"weighting":    "the orchestra's own balance: brass over woodwind in the loud bars 19 to 24, about equal in the soft ones",
	"hairpin":      "a crescendo is one line and no stairs: violins I, bar 17; so is a diminuendo: flute, bar 26",
	"long-note":    "long notes swell to their middle and fade: violins I, bars 1 to 8",
	"sustain":      "held notes move a little and do not stand like an organ's: horns, bars 15 to 18",
	"vibrato":      "strings and flutes warm up after the start of a note; none on the open G of violins II, bars 1 to 5",
	"pedal":        "the piano's chords ring on and change with the harmony, bars 7 to 12",
	"timing":       "players start together as people do and not as a machine does: the brass, bars 19 to 24",
	"rubato":       "the whole ensemble lingers at the ends of phrases, and slows to the end: bars 27 to 30",
	All:            "all of it together; nothing should call attention to itself",
}

// TunePart is the part in which the work of the rules shows best.
const TunePart = "Violins I"

// Listening writes what to listen for in each performance, a line each. An error is that
// of w.
func Listening(w io.Writer, solos []Solo) error {
	var b bytes.Buffer
	fmt.Fprintf(&b, `%s, as a notation program plays it, by one rule at a time, and by all.
Each rule is heard over the written dynamics and the orchestra's balance, so compare it
with weighting.wav. All are written at one gain; start quiet.

`, Title)
	for _, s := range solos {
		fmt.Fprintf(&b, "%-17s %s\n", s.Name+".wav", listenFor[s.Name])
	}
	if _, err := w.Write(b.Bytes()); err != nil {
		return fmt.Errorf("cannot write what to listen for: %w", err)
	}
	return nil
}
