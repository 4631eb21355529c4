package main

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/expr"
	"swellbox/profiles/atomicfile"
	"swellbox/profiles/names"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/layout"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/sampler"
)

func calibrateCommand(p *program.Program) *cobra.Command {
	c := &cobra.Command{
		Use:   "calibrate",
		Short: "measure how your sampler answers, so that balance and vibrato are true on it",
		Long: `calibrate measures your own sampler. It takes three steps:

  swellbox calibrate plan --seating seating.yaml -o probe.mid
  … play probe.mid into your sampler, without reverberation, and record it: one WAV file,
    or a stem for each part, all from the same beginning …
  swellbox calibrate fit probe.wav --seating seating.yaml -o measured

Then give --profiles measured to render, live, play and balance. Whether it is true then,
a second recording tells:

  swellbox calibrate check --seating seating.yaml --profiles measured -o check.mid
  … play and record check.mid in the same way …
  swellbox calibrate check check.wav --seating seating.yaml --profiles measured`,
	}
	usage.Grouping(c)
	c.AddCommand(calibratePlanCommand(p), calibrateFitCommand(p), calibrateCheckCommand(p))
	return c
}

// probing are the flags by which a probe is made of a seating.
type probing struct {
	piece    string
	thorough bool
	out      string
}

func (f *probing) add(c *cobra.Command, out string) {
	c.Flags().StringVar(&f.piece, "piece", "", "MIDI `file` whose programs call the sounds (default: the piece that the seating names, beside it)")
	c.Flags().BoolVar(&f.thorough, "thorough", false, "measure more, in about four times as long")
	c.Flags().StringVarP(&f.out, "out", "o", "", out)
}

func calibratePlanCommand(p *program.Program) *cobra.Command {
	var f probing
	c := &cobra.Command{
		Use:   "plan --seating SEATING.yaml -o PROBE.mid",
		Short: "write the notes by which a sampler is measured",
		Long: `plan writes a MIDI file that plays each part of a seating alone, softly and loudly,
over its range, short and long, with vibrato and bends. Play it into your sampler as you
have it for the piece, but without reverberation, and record that. It begins quiet; a
marker shows where it becomes loud.`,
		Args: usage.Exactly(0, "no argument"),
		RunE: func(*cobra.Command, []string) error {
			if f.out == "" {
				return fmt.Errorf("say where to write with -o PROBE.mid: %w", usage.ErrUsage)
			}
			return calibratePlan(p, &f)
		},
	}
	f.add(c, "`file` to write")
	return c
}

func calibratePlan(p *program.Program, f *probing) error {
	plan, _, err := probe(p, f)
	if err != nil {
		return err
	}
	if err := smf.WriteFile(f.out, plan.File()); err != nil {
		return err
	}
	type part struct {
		Part    string `json:"part"`
		Program int    `json:"program,omitempty"`
		Profile string `json:"profile"`
		Low     uint8  `json:"low"`
		High    uint8  `json:"high"`
	}
	var parts []part
	for i := range plan.Subjects {
		s := &plan.Subjects[i]
		parts = append(parts, part{s.Name, s.Program, s.ProfileName, s.Low, s.High})
	}
	if p.Settings.JSON {
		return p.PrintJSON(struct {
			File    string  `json:"file"`
			Seconds float64 `json:"seconds"`
			LoudAt  float64 `json:"loud_from_seconds"`
			Parts   []part  `json:"parts"`
		}{f.out, plan.Length.Seconds(), plan.Loud().Seconds(), parts})
	}
	t := layout.Table{Columns: []layout.Column{{Title: "part", Words: true}, {Title: "profile"}, {Title: "program", Right: true}, {Title: "keys", Right: true}}}
	for _, s := range parts {
		called := "none"
		if s.Program > 0 {
			called = fmt.Sprint(s.Program)
		}
		t.Row(s.Part, s.Profile, called, fmt.Sprintf("%d to %d", s.Low, s.High))
	}
	width := min(p.Width(), layout.Broadest)
	if err := t.Write(p.Out, width); err != nil {
		return err
	}
	fmt.Fprintln(p.Out, layout.Text(fmt.Sprintf("%s plays for %s minutes, one part after the other. It begins quiet and is loud from %s on: start with your speakers down. Record it from before the first note to after the last, without reverberation, then: swellbox calibrate fit RECORDING.wav --seating %s -o FOLDER",
		f.out, sampler.Minutes(plan.Length), sampler.Minutes(plan.Loud()), tell.Typed(p.Settings.Seating)), width))
	return nil
}

func calibrateFitCommand(p *program.Program) *cobra.Command {
	var f probing
	var flat bool
	c := &cobra.Command{
		Use:   "fit RECORDING.wav... --seating SEATING.yaml -o FOLDER",
		Short: "measure a recording of the probe, and write how the sampler answers",
		Long: `fit finds the probe of calibrate plan in a recording, measures every part, and writes a
folder of controller maps, one for each part, and a report. --profiles FOLDER has render,
live, play and balance use them, for the parts of the same names, and else for parts that
play with the same profile. Several recordings are stems that begin together.

Parts are brought to one level as the ear weighs them, or with --flat as a meter does.`,
		Args: usage.Between(1, 1000, "one or more recordings"),
		RunE: func(c *cobra.Command, args []string) error {
			if f.out == "" {
				return fmt.Errorf("say where to write with -o FOLDER: %w", usage.ErrUsage)
			}
			return calibrateFit(c.Context(), p, args, &f, flat)
		},
	}
	f.add(c, "`folder` to write the controller maps and the report into; it is made if need be")
	c.Flags().BoolVar(&flat, "flat", false, "bring parts to one level as a meter without weighting has it")
	return c
}

func calibrateFit(ctx context.Context, p *program.Program, recordings []string, f *probing, flat bool) error {
	plan, cast, err := probe(p, f)
	if err != nil {
		return err
	}
	rec, err := readStems(recordings)
	if err != nil {
		return err
	}
	found, err := sampler.Fit(ctx, plan, rec)
	if err != nil {
		return fmt.Errorf("%s: %w", recordings[0], err)
	}
	making := sampler.Making{Weight: sampler.Ear, Ensemble: cast.Ensemble(), On: time.Now(), By: p.Settings.Author}
	if flat {
		making.Weight = sampler.Flat
	}
	docs, err := found.Documents(making)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(f.out, 0o777); err != nil {
		return fmt.Errorf("cannot make the folder: %w", err)
	}
	for _, d := range docs {
		if err := atomicfile.WriteBytes(filepath.Join(f.out, d.File), d.Text); err != nil {
			return err
		}
	}
	page := filepath.Join(f.out, "report.html")
	if err := atomicfile.Write(page, found.WriteReport); err != nil {
		return err
	}
	if p.Settings.JSON {
		return p.PrintJSON(found)
	}
	return tellFit(p, found, f.out, len(docs))
}

// readStems reads recordings that begin together as one.
func readStems(names []string) (*sampler.Recording, error) {
	var stems []*sampler.Recording
	for _, name := range names {
		stem, err := sampler.ReadWAV(name)
		if err != nil {
			return nil, err
		}
		stems = append(stems, stem)
	}
	return sampler.Mix(stems...)
}

// tellFit says what was measured.
func tellFit(p *program.Program, found *sampler.Result, out string, docs int) error {
	t := layout.Table{Columns: []layout.Column{{Title: "part", Words: true}, {Title: "level", Right: true}, {Title: "late", Right: true}, {Title: "vibrato of its own", Right: true}, {Title: "controller 1", Right: true}}}
	for i := range found.Parts {
		t.Row(found.Parts[i].Row()...)
	}
	width := min(p.Width(), layout.Broadest)
	if err := t.Write(p.Out, width); err != nil {
		return err
	}
	for i := range found.Parts {
		f := &found.Parts[i]
		for _, problem := range f.Problems {
			fmt.Fprintln(p.Out, layout.Wrap(f.Name+": "+problem, width, "  "))
		}
	}
	for _, r := range found.Remarks {
		fmt.Fprintln(p.Out, layout.Wrap(r, width, "  "))
	}
	fmt.Fprintln(p.Out, layout.Text(fmt.Sprintf("Written to %s: %d controller maps and report.html. Use them with --profiles %s", out, docs, tell.Typed(out)), width))
	return nil
}

// probe is the probe of the seating that is given, or of who is guessed to play a piece.
func probe(p *program.Program, f *probing) (*sampler.Plan, *perform.Cast, error) {
	subjects, cast, err := subjectsOf(p, f.piece, unmeasured)
	if err != nil {
		return nil, nil, err
	}
	plan, err := sampler.NewPlan(subjects, f.thorough)
	return plan, cast, err
}

// controllerMapOf is the controller map with which a part is played into a sampler.
type controllerMapOf func(cast *perform.Cast, part *perform.Part) string

// unmeasured is a part's map without an earlier measurement.
func unmeasured(cast *perform.Cast, part *perform.Part) string {
	if m, ok := cast.Library.LookupControllerMap(part.ControllerMap); ok && m.Measured != nil {
		return ""
	}
	return part.ControllerMap
}

// asMeasured is a part's map with what was measured of it.
func asMeasured(_ *perform.Cast, part *perform.Part) string { return part.ControllerMap }

// subjectsOf are the parts of the seating that is given, or of a piece.
func subjectsOf(p *program.Program, piece string, used controllerMapOf) ([]sampler.Subject, *perform.Cast, error) {
	if piece != "" {
		p.SeatBeside(piece)
	}
	cast, err := p.Settings.Cast()
	if err != nil {
		return nil, nil, err
	}
	if s := cast.Seating; piece == "" && s != nil && s.Piece != "" {
		if beside := filepath.Join(filepath.Dir(p.Settings.Seating), s.Piece); program.IsFile(beside) {
			piece = beside
		}
	}
	var subjects []sampler.Subject
	switch {
	case piece != "":
		file, _, err := offline.ReadPiece(piece, offline.PlayOrnaments)
		if err != nil {
			return nil, nil, err
		}
		parts, err := offline.GuessParts(file, cast)
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", piece, err)
		}
		called, err := offline.Programs(file)
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", piece, err)
		}
		for _, g := range parts {
			s, err := subjectOf(cast, g.Part, cmp.Or(g.Program, called[[2]int{g.Port, g.Channel}]), used)
			if err != nil {
				return nil, nil, err
			}
			subjects = append(subjects, s)
		}
	case cast.Seating != nil:
		for i, seat := range cast.Seating.Seats {
			if seat.Channel == 0 {
				return nil, nil, fmt.Errorf("%s: seats[%d] has no channel, so it is not known where it plays; give it one, or name the piece with --piece", p.Settings.Seating, i+1)
			}
			part, _, err := cast.Choose(names.Hint{Port: max(seat.Port, 1), Channel: seat.Channel, Track: seat.Track, Program: seat.Program, HasProgram: seat.Program > 0})
			if err != nil {
				return nil, nil, err
			}
			s, err := subjectOf(cast, part, seat.Program, used)
			if err != nil {
				return nil, nil, err
			}
			subjects = append(subjects, s)
		}
	default:
		return nil, nil, fmt.Errorf("say which parts to measure with --seating SEATING.yaml, which swellbox seating writes, or with --piece RAW.mid: %w", usage.ErrUsage)
	}
	return subjects, cast, nil
}

// subjectOf is a part as it is played into a sampler.
func subjectOf(cast *perform.Cast, part perform.Part, program int, used controllerMapOf) (sampler.Subject, error) {
	profile, err := cast.Library.ResolveFor(part.Profile, used(cast, &part))
	if err != nil {
		return sampler.Subject{}, err
	}
	s := sampler.Subject{
		Name: part.Name, Port: part.Port, Channel: part.Channel, Program: program, ProfileName: part.Profile,
		Profile: profile, Players: part.Players, Low: profile.Range.Low, High: profile.Range.High,
	}
	if program == 0 {
		s.Program = ownProgram(profile)
	}
	if profile.Range == (expr.Range{}) {
		s.Low, s.High = 41, 53 // where kettles and most drums are written: common practice, no published source
	}
	return s, nil
}

// ownProgram is the program that calls a profile's own way of playing, 0 if none does.
func ownProgram(profile *expr.Profile) int {
	for _, v := range profile.Variants {
		if v.Profile == profile && v.Program >= 0 {
			return v.Program + 1
		}
	}
	return 0
}
