package main

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"text/tabwriter"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"swellbox/profiles"
	"swellbox/proxy"
	"swellbox/proxy/smf"
)

func (p *program) renderCommand() *cobra.Command {
	var out, locked, known, timing string
	c := &cobra.Command{
		Use:   "render RAW.mid|PIECE.musicxml -o SHAPED.mid",
		Short: "shape a MIDI file",
		Long: `render plays a MIDI file through the engine and writes the shaped performance: the
same notes and texts, with the phrasing, expression, vibrato, timing and weight of
players, who know the piece from the file itself unless --score none is said. A MusicXML
score can stand in place of the MIDI file, or beside it: --score PIECE.musicxml tells the
players the marks, slurs and bars that a MIDI file does not hold.

Players come a little before or after the beat, and the tempo breathes with the
phrases; bar lines stay where they are. --timing tempos writes that breathing as tempos,
so that in a notation program every note stays in its place; --timing steady leaves all
of it out.

It prints what was done to each part, or with --json the same for scripts.`,
		Args: exactly(1, "one MIDI file or score"),
		RunE: func(c *cobra.Command, args []string) error {
			if out == "" {
				return fmt.Errorf("say where to write with -o SHAPED.mid: %w", errUsage)
			}
			manner := p.settings.manner()
			if err := p.takeScore(&manner, known); err != nil {
				return err
			}
			if err := takeTiming(&manner, timing); err != nil {
				return err
			}
			return p.render(c.Context(), args[0], out, locked, manner)
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "", "`file` to write")
	addOwnScore(c.Flags(), &known)
	addFileTiming(c.Flags(), &timing)
	addRules(c.Flags())
	lockedFlag(c.Flags(), &locked)
	return c
}

func (p *program) render(ctx context.Context, in, out, locked string, manner proxy.Manner) error {
	if same(in, out) {
		return fmt.Errorf("%s would be overwritten by its own shaping; give -o another name", in)
	}
	cast, err := p.castFor(locked)
	if err != nil {
		return err
	}
	file, piece, err := proxy.ReadPiece(in)
	if err != nil {
		return err
	}
	manner.Piece = cmp.Or(manner.Piece, piece)
	shaped, report, err := proxy.Render(ctx, file, cast, manner)
	if err != nil {
		return fmt.Errorf("%s: %w", in, err)
	}
	if err := smf.WriteFile(out, shaped); err != nil {
		return err
	}
	if p.settings.JSON {
		return p.printJSON(report)
	}
	p.warn(report.Warnings)
	p.printReport(report)
	fmt.Fprintf(p.out, "%s: %d notes in, %d notes out\n", out, report.NotesIn, report.NotesOut)
	return nil
}

// castFor is the cast of a lock, or of the settings if none is named.
func (p *program) castFor(locked string) (*proxy.Cast, error) {
	if locked != "" {
		return p.lockedCast(locked)
	}
	return p.settings.cast()
}

func same(a, b string) bool {
	x, errA := os.Stat(a)
	y, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(x, y)
}

func (p *program) printJSON(v any) error {
	enc := json.NewEncoder(p.out)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}

// reportWidth is the most columns that a line of the report takes, but for long names.
const reportWidth = 100

// printReport lists the parts with what was done to their notes, and how the profile was
// found where that was not by the part's own name.
func (p *program) printReport(r *proxy.Report) {
	name, profile := len("part"), len("profile")
	for i := range r.Parts {
		name = max(name, utf8.RuneCountInString(r.Parts[i].Name))
		profile = max(profile, utf8.RuneCountInString(withOrigin(r.Parts[i])))
	}
	const notes = 6 // columns
	lead := name + 2 + profile + 2 + notes + 2
	fmt.Fprintf(p.out, "%-*s  %-*s  %*s  shaped by, in notes\n", name, "part", profile, "profile", notes, "notes")
	for _, part := range r.Parts {
		done := inLines(shapedBy(part), max(reportWidth-lead, reportWidth/3))
		fmt.Fprintf(p.out, "%-*s  %-*s  %*d  %s\n", name, part.Name, profile, withOrigin(part), notes, part.Notes,
			strings.ReplaceAll(done, "\n", "\n"+strings.Repeat(" ", lead)))
	}
	for _, part := range r.Parts {
		if part.Why != fmt.Sprintf("the track name %q", part.Name) {
			fmt.Fprintf(p.out, "%s: %s was found by %s\n", part.Name, part.Profile, part.Why)
		}
	}
}

// shapedBy is what was done to a part's notes: the rules that shaped them all, and then the
// others with their counts, most first.
func shapedBy(part proxy.PartReport) []string {
	var rules []string
	for _, rule := range slices.Sorted(maps.Keys(part.Habits)) {
		if part.Habits[rule] > 0 {
			rules = append(rules, rule)
		}
	}
	slices.SortStableFunc(rules, func(a, b string) int { return cmp.Compare(part.Habits[b], part.Habits[a]) })
	if rules == nil {
		return []string{"nothing"}
	}
	for i, rule := range rules {
		n, stop := part.Habits[rule], ","
		switch {
		case i+1 == len(rules):
			stop = ""
		case n == part.Notes && part.Habits[rules[i+1]] != n:
			stop = ";"
		}
		switch {
		case n < part.Notes:
			rules[i] = fmt.Sprintf("%s %d%s", rule, n, stop)
		case i == 0:
			rules[i] = "all: " + rule + stop
		default:
			rules[i] = rule + stop
		}
	}
	return rules
}

// withOrigin is a part's profile, and where it comes from unless it is built in.
func withOrigin(p proxy.PartReport) string {
	if p.Origin == "" || p.Origin == string(profiles.BuiltIn) {
		return p.Profile
	}
	return p.Profile + " (" + p.Origin + ")"
}

// printParts lists who plays, before a piece begins.
func (p *program) printParts(parts []proxy.PartStatus) {
	w := tabwriter.NewWriter(p.out, 0, 0, 2, ' ', 0)
	for _, part := range parts {
		fmt.Fprintf(w, "%s\t%s\t%s\n", part.Name, withOrigin(part.PartReport), part.Why)
	}
	w.Flush()
}
