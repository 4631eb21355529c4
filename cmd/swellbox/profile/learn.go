package profile

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/usage"
	"swellbox/profiles"
	"swellbox/profiles/atomicfile"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/study/learn"
)

func learnCommand(p *program.Program) *cobra.Command {
	var out, name string
	c := &cobra.Command{
		Use:   "learn SCORE TAKE.mid… -o PROFILE.yaml",
		Short: "learn from takes how somebody plays, and write a profile of it",
		Long: `learn holds takes, MIDI files of somebody playing the passage on a keyboard, against
its score (MusicXML or MIDI), and writes a profile whose players do as much of each habit
as the takes do. Wrong notes, left-out notes and repeats do not disturb it. It says what
was learnt and how sure that is; what a take does not tell stays as it was.

The score has one instrument. The profile is one like any other: listen to it with
--profiles FOLDER, change it, share it.

  swellbox profile learn passage.musicxml take-1.mid take-2.mid -o my-piano.yaml`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) < 2 {
				return fmt.Errorf("name the score and at least one take: %w", usage.ErrUsage)
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if out == "" {
				return fmt.Errorf("say where to write with -o PROFILE.yaml: %w", usage.ErrUsage)
			}
			return learnFrom(c.Context(), p, args[0], args[1:], out, name)
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "", "`file` to write")
	c.Flags().StringVar(&name, "name", "", "`name` of the profile; without one it has the name of the profile it is based on, and is played in its place")
	return c
}

func learnFrom(ctx context.Context, p *program.Program, score string, takes []string, out, name string) error {
	if _, err := os.Stat(out); err == nil {
		return fmt.Errorf("%s is there already; give -o another name", out)
	}
	cast, err := p.Settings.Cast()
	if err != nil {
		return err
	}
	cfg := &learn.Config{Cast: cast, Names: takes}
	if cfg.Score, cfg.Piece, err = offline.ReadPiece(score, offline.PlayOrnaments); err != nil {
		return err
	}
	p.Warn(cfg.Score.Warnings)
	for _, take := range takes {
		f, err := smf.ReadFile(take)
		if err != nil {
			return err
		}
		cfg.Takes = append(cfg.Takes, f)
	}
	l, err := learn.Takes(ctx, cfg)
	if err != nil {
		return fmt.Errorf("%s: %w", score, err)
	}
	if name == "" {
		name = l.Profile
	}
	document := l.Document(name, takeNames(takes))
	if _, err := profiles.Parse(out, document); err != nil {
		return fmt.Errorf("what was learnt makes no profile: %w", err)
	}
	if err := atomicfile.WriteBytes(out, document); err != nil {
		return err
	}
	if p.Settings.JSON {
		return p.PrintJSON(learntJSON(l, out))
	}
	for i, take := range takes {
		fmt.Fprintf(p.Out, "%s: %.0f %% of its notes found in the score\n", take, 100*l.Matched[i])
	}
	for _, w := range l.Words() {
		fmt.Fprintf(p.Out, "- %s\n", w)
	}
	fmt.Fprintf(p.Out, "%s: the profile %s; listen to it with --profiles %s\n", out, name, filepath.Dir(out))
	return nil
}

func takeNames(takes []string) string {
	names := make([]string, len(takes))
	for i, t := range takes {
		names[i] = filepath.Base(t)
	}
	return strings.Join(names, ", ")
}

// learnt is what learn tells scripts.
type learnt struct {
	File    string         `json:"file"`
	Profile string         `json:"extends"`
	Notes   int            `json:"notes"`
	Matched []float64      `json:"matched"` // share of each take's notes
	Amounts []learntAmount `json:"amounts"`
}

type learntAmount struct {
	Habit  string  `json:"habit"`
	Was    float64 `json:"was"`
	Amount float64 `json:"amount"`
	Error  float64 `json:"standard_error"`
	Sure   bool    `json:"sure"`
}

func learntJSON(l *learn.Learnt, file string) *learnt {
	j := &learnt{File: file, Profile: l.Profile, Notes: l.Notes, Matched: l.Matched, Amounts: []learntAmount{}}
	for i := range l.Amounts {
		a := &l.Amounts[i]
		j.Amounts = append(j.Amounts, learntAmount{a.Habit.Flag(), a.Was, a.Amount, a.Error, a.Sure()})
	}
	return j
}
