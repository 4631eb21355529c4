package main

import (
	"encoding/json"
	"fmt"
	"os"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"swellbox/profiles"
	"swellbox/proxy"
	"swellbox/proxy/smf"
)

func (p *program) renderCommand() *cobra.Command {
	var out, locked, known string
	c := &cobra.Command{
		Use:   "render RAW.mid -o SHAPED.mid",
		Short: "shape a MIDI file",
		Long: `render plays a MIDI file through the engine and writes the shaped performance: the
same notes, tempos and texts, with the expression, vibrato and weight of players, who
know the piece from the file itself unless --score none is said. It prints what was done to each part, or with --json the same for scripts.`,
		Args: exactly(1, "one MIDI file"),
		RunE: func(_ *cobra.Command, args []string) error {
			if out == "" {
				return fmt.Errorf("say where to write with -o SHAPED.mid: %w", errUsage)
			}
			scored, err := isScored(known)
			if err != nil {
				return err
			}
			manner := p.settings.manner()
			manner.Scored, manner.Lookahead, manner.Rubato = scored, 0, 0 // all stays at its tick
			return p.render(args[0], out, locked, manner)
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "", "`file` to write")
	addOwnScore(c.Flags(), &known)
	addRules(c.Flags())
	lockedFlag(c.Flags(), &locked)
	return c
}

func (p *program) render(in, out, locked string, manner proxy.Manner) error {
	if same(in, out) {
		return fmt.Errorf("%s would be overwritten by its own shaping; give -o another name", in)
	}
	cast, err := p.castFor(locked)
	if err != nil {
		return err
	}
	file, err := smf.ReadFile(in)
	if err != nil {
		return err
	}
	shaped, report, err := proxy.Render(file, cast, manner)
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

func (p *program) warn(warnings []string) {
	for _, w := range warnings {
		fmt.Fprintf(p.err, "swellbox: warning: %s\n", w)
	}
}

func (p *program) printJSON(v any) error {
	enc := json.NewEncoder(p.out)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}

// printReport lists the parts with what each rule did, and how the profile was found.
func (p *program) printReport(r *proxy.Report) {
	w := tabwriter.NewWriter(p.out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "part\tprofile\tnotes\texpression\tweighting\tsustain\tvibrato\tfound by")
	for _, part := range r.Parts {
		fmt.Fprintf(w, "%s\t%s\t%d\t%d\t%d\t%d\t%d\t%s\n", part.Name, withOrigin(part), part.Notes,
			part.Rules["expression"], part.Rules["weighting"], part.Rules["sustain"], part.Rules["vibrato"], part.Why)
	}
	w.Flush()
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
