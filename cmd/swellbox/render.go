package main

import (
	"cmp"
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/layout"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

func renderCommand(p *program.Program) *cobra.Command {
	var out, locked, known, timing string
	var ornaments ornamentFlags
	var details bool
	c := &cobra.Command{
		Use:   "render RAW.mid|PIECE.musicxml -o SHAPED.mid",
		Short: "shape a MIDI file",
		Long: `render plays a MIDI file through the engine and writes the shaped performance: the
same notes and texts, with the phrasing, expression, vibrato, timing and weight of
players, who know the piece from the file itself unless --score none is said. A MusicXML
score can stand in place of the MIDI file, or beside it: --score PIECE.musicxml tells the
players the marks, slurs and bars that a MIDI file does not hold. Of a score that is
played itself the trills, mordents, turns, tremolos, rolled chords and glissandi are
played out, as common practice has them, and all wait at fermatas and caesuras.

Players come a little before or after the beat, by at most 60 ms, and the tempo
breathes with the phrases; it does not where a ritard is written already. That breathing
is written as tempos, so that every note stays in its bar: beside a score, a click or
hits that are set in bars, the file is still right. Where seconds count, as with a
film that is cut already, take --timing steady or --rubato 0. --timing notes keeps
the file's tempos and moves the notes out of their bars, as in a recording.

It says who is seated as what, of whom that is doubtful, and what to listen for; with --details also what was done to how many notes, with --json the same for scripts.`,
		Args: usage.Exactly(1, "one MIDI file or score"),
		RunE: func(c *cobra.Command, args []string) error {
			if out == "" {
				return fmt.Errorf("say where to write with -o SHAPED.mid: %w", usage.ErrUsage)
			}
			manner := p.Settings.Manner()
			if err := takeScore(p, &manner, known); err != nil {
				return err
			}
			if err := takeTiming(&manner, timing); err != nil {
				return err
			}
			how, err := ornaments.take()
			if err != nil {
				return err
			}
			return render(c.Context(), p, args[0], out, locked, manner, how, details)
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "", "`file` to write")
	c.Flags().BoolVar(&details, "details", false, "also say what was done to how many notes of each part")
	addOwnScore(c.Flags(), &known)
	addOrnaments(c.Flags(), &ornaments)
	addFileTiming(c.Flags(), &timing)
	settings.AddHabits(c.Flags())
	lockedFlag(c.Flags(), &locked)
	return c
}

func render(ctx context.Context, p *program.Program, in, out, locked string, manner perform.Manner, ornaments offline.Ornaments, details bool) error {
	if settings.Same(in, out) {
		return fmt.Errorf("%s would be overwritten by its own shaping; give -o another name", in)
	}
	cast, err := p.CastFor(in, locked)
	if err != nil {
		return err
	}
	file, piece, err := offline.ReadPiece(in, ornaments)
	if err != nil {
		return err
	}
	manner.Piece = cmp.Or(manner.Piece, piece)
	shaped, report, err := offline.Render(ctx, file, cast, manner)
	if err != nil {
		return fmt.Errorf("%s: %w", in, err)
	}
	if err := smf.WriteFile(out, shaped); err != nil {
		return err
	}
	if p.Settings.JSON {
		return p.PrintJSON(report)
	}
	warnBriefly(p, report.Warnings, details)
	if details {
		printDetails(p, report)
	}
	printSummary(p, in, out, report, details)
	return nil
}

// toCorrect says how to seat a piece otherwise than it was guessed: the seating that is written has
// the name by which it is found beside the piece.
func toCorrect(piece string) string {
	return fmt.Sprintf("To correct that: swellbox seating %s -o %s", tell.Typed(piece), tell.Typed(program.OwnSeating(piece)))
}

// doubt says what was guessed on doubtful ground.
func doubt(p *program.Program, piece string, doubts []string) {
	width := min(p.Width(), layout.Broadest)
	for _, d := range doubts {
		fmt.Fprintln(p.Out, layout.Wrap("doubtful: "+d, width, "  "))
	}
	if len(doubts) > 0 {
		fmt.Fprintln(p.Out, layout.Text(toCorrect(piece), width))
	}
}
