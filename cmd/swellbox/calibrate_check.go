package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/expr/habits"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/layout"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/sampler"
)

// checking are the flags of calibrate check.
type checking struct {
	piece, out string
}

func calibrateCheckCommand(p *program.Program) *cobra.Command {
	var f checking
	c := &cobra.Command{
		Use:   "check [RECORDING.wav...] --seating SEATING.yaml --profiles FOLDER",
		Short: "tell by a recording whether balance and vibrato are true now",
		Long: `check without a recording writes a MIDI file in which each part plays some marks alone,
and then all together: once as a notation program plays them, and once shaped by marks,
weight and vibrato, with what calibrate fit has written. Its notes are others than the
probe's. Play it into your sampler and record it in the same way.

With that recording, check tells by how many decibels each part stands off from the
balance model, before and after; how late the parts are heard; by how much raw is louder
than shaped, measured and as --match of live knows it; and what vibrato was asked for and
what came. Give the same --seating and --profiles in both steps.`,
		Args: usage.Between(0, 1000, "a recording, or none to write what is played"),
		RunE: func(c *cobra.Command, args []string) error {
			switch {
			case len(args) == 0 && f.out == "":
				return fmt.Errorf("say where to write what is played with -o CHECK.mid, or give a recording of it: %w", usage.ErrUsage)
			case len(args) > 0 && f.out != "":
				return fmt.Errorf("-o is where to write what is played; leave it out where a recording is given: %w", usage.ErrUsage)
			}
			t, err := newTrying(c.Context(), p, f.piece)
			if err != nil {
				return err
			}
			if len(args) == 0 {
				return t.write(p, f.out)
			}
			return t.judge(c.Context(), p, args)
		},
	}
	c.Flags().StringVar(&f.piece, "piece", "", "MIDI `file` whose programs call the sounds (default: the piece that the seating names, beside it)")
	c.Flags().StringVarP(&f.out, "out", "o", "", "`file` to write what is played into")
	return c
}

// trying is a trial with its shaped side.
type trying struct {
	*sampler.Trial
	cast   *perform.Cast
	raw    *smf.File
	shaped *smf.File
}

func newTrying(ctx context.Context, p *program.Program, piece string) (*trying, error) {
	subjects, cast, err := subjectsOf(p, piece, asMeasured)
	if err != nil {
		return nil, err
	}
	measured := 0
	for i := range subjects {
		if subjects[i].Profile.Sampler.Measured != nil {
			measured++
		}
	}
	if measured == 0 {
		p.Warn([]string{"nothing of these parts was measured yet; to check what was, give the folder of calibrate fit with --profiles"})
	}
	trial, err := sampler.NewTrial(subjects)
	if err != nil {
		return nil, err
	}
	t := &trying{Trial: trial, cast: cast, raw: trial.Raw()}
	manner := perform.Manner{Scored: true, Lookahead: 2 * engine.MaxDeviation, Only: triedHabits()}
	t.shaped, _, err = offline.Render(ctx, t.raw, cast, manner)
	return t, err
}

// triedHabits are those that balance and vibrato go by.
func triedHabits() []string {
	var names []string
	for _, h := range []expr.Habit{habits.Marks{}, &habits.OrchestraWeight{}, habits.Vibrato{}} {
		names = append(names, h.About().Flag())
	}
	return names
}

func (t *trying) write(p *program.Program, out string) error {
	file, err := t.File(t.shaped)
	if err != nil {
		return err
	}
	if err := smf.WriteFile(out, file); err != nil {
		return err
	}
	if p.Settings.JSON {
		return p.PrintJSON(struct {
			File    string  `json:"file"`
			Seconds float64 `json:"seconds"`
		}{out, t.Length().Seconds()})
	}
	fmt.Fprintln(p.Out, layout.Text(fmt.Sprintf("%s plays for %s minutes. Record it as you recorded the probe, then: swellbox calibrate check RECORDING.wav --seating %s and the same --profiles",
		out, sampler.Minutes(t.Length()), tell.Typed(p.Settings.Seating)), min(p.Width(), layout.Broadest)))
	return nil
}

func (t *trying) judge(ctx context.Context, p *program.Program, recordings []string) error {
	rec, err := readStems(recordings)
	if err != nil {
		return err
	}
	played, err := offline.NewTimeline(t.shaped, 0)
	if err != nil {
		return err
	}
	v, err := t.Judge(ctx, rec, played, t.cast.Ensemble())
	if err != nil {
		return fmt.Errorf("%s: %w", recordings[0], err)
	}
	known, err := t.matchedDB()
	if err != nil {
		return err
	}
	if p.Settings.JSON {
		return p.PrintJSON(struct {
			*sampler.Verdict
			MatchedDB float64 `json:"matched_db"` // by how much raw is lowered where sides are compared at one level
		}{v, known})
	}
	return tellVerdict(p, v, known)
}

// matchedDB is by how much the raw side is lowered at the end where the two are compared at one level.
func (t *trying) matchedDB() (float64, error) {
	heard, err := offline.NewTimeline(t.raw, 0)
	if err != nil {
		return 0, err
	}
	chosen, err := (&perform.Manner{Only: triedHabits()}).Habits(habits.In(t.cast.Ensemble().Place()))
	if err != nil {
		return 0, err
	}
	stage := perform.NewStage(t.cast, engine.Config{Ports: heard.Ports, Habits: chosen, Lookahead: 2 * engine.MaxDeviation}, func(*expr.Event) {})
	stage.MatchLevels(t.cast.Ensemble().HeadroomDB)
	if err := stage.SeatAll(heard.Hints); err != nil {
		return 0, err
	}
	for i := range heard.Events {
		stage.Pull(heard.Events[i].At)
		stage.Push(heard.Events[i])
	}
	stage.Pull(heard.End)
	return stage.MatchedDB(), nil
}

// tellVerdict says how true it is.
func tellVerdict(p *program.Program, v *sampler.Verdict, matchedDB float64) error {
	t := layout.Table{Columns: []layout.Column{{Title: "part", Words: true}, {Title: "raw", Right: true}, {Title: "shaped", Right: true}, {Title: "late", Right: true}, {Title: "vibrato asked", Right: true}, {Title: "got", Right: true}}}
	for i := range v.Parts {
		t.Row(v.Parts[i].Row()...)
	}
	width := min(p.Width(), layout.Broadest)
	if err := t.Write(p.Out, width); err != nil {
		return err
	}
	for i := range v.Parts {
		for _, problem := range v.Parts[i].Problems {
			fmt.Fprintln(p.Out, layout.Wrap(v.Parts[i].Name+": "+problem, width, "  "))
		}
	}
	for _, line := range v.Sentences(matchedDB) {
		fmt.Fprintln(p.Out, layout.Text(line, width))
	}
	return nil
}
