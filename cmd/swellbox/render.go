package main

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/layout"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

func renderCommand(p *program.Program) *cobra.Command {
	var o renderOptions
	var known, timing string
	var ornaments ornamentFlags
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
			if o.out == "" {
				return fmt.Errorf("say where to write with -o SHAPED.mid: %w", usage.ErrUsage)
			}
			o.manner = p.Settings.Manner()
			if err := takeScore(p, &o.manner, known); err != nil {
				return err
			}
			if err := takeTiming(&o.manner, timing); err != nil {
				return err
			}
			var err error
			if o.ornaments, err = ornaments.take(); err != nil {
				return err
			}
			return render(c.Context(), p, args[0], o)
		},
	}
	c.Flags().StringVarP(&o.out, "out", "o", "", "`file` to write")
	c.Flags().StringVar(&o.sound, "sound", "", "also write raw.wav and shaped.wav, equally loud, into this `folder`, as the synthesiser of the demo plays them; of at most 20 minutes")
	c.Flags().BoolVar(&o.details, "details", false, "also say what was done to how many notes of each part")
	addOwnScore(c.Flags(), &known)
	addOrnaments(c.Flags(), &ornaments)
	addFileTiming(c.Flags(), &timing)
	settings.AddHabits(c.Flags())
	lockedFlag(c.Flags(), &o.locked)
	return c
}

// renderOptions are the flags of the command.
type renderOptions struct {
	out, sound, locked string
	manner             perform.Manner
	ornaments          offline.Ornaments
	details            bool
}

func render(ctx context.Context, p *program.Program, in string, o renderOptions) error {
	if settings.Same(in, o.out) {
		return fmt.Errorf("%s would be overwritten by its own shaping; give -o another name", in)
	}
	cast, err := p.CastFor(in, o.locked)
	if err != nil {
		return err
	}
	file, piece, err := offline.ReadPiece(in, o.ornaments)
	if err != nil {
		return err
	}
	o.manner.Piece = cmp.Or(o.manner.Piece, piece)
	shaped, report, err := offline.Render(ctx, file, cast, o.manner)
	if err != nil {
		return fmt.Errorf("%s: %w", in, err)
	}
	if err := smf.WriteFile(o.out, shaped); err != nil {
		return err
	}
	if o.sound != "" {
		if err := renderSound(ctx, p, o.sound, cast, report, file, shaped); err != nil {
			return fmt.Errorf("%s is written, but not its sound: %w", o.out, err)
		}
	}
	if p.Settings.JSON {
		return p.PrintJSON(report)
	}
	warnBriefly(p, report.Warnings, o.details)
	if o.details {
		printDetails(p, report)
	}
	printSummary(p, in, o.out, report, o.details)
	if o.sound != "" {
		fmt.Fprintln(p.Out, layout.Text(fmt.Sprintf(heardIn, filepath.Join(o.sound, "raw.wav"), filepath.Join(o.sound, "shaped.wav")), min(p.Width(), layout.Broadest)))
	}
	return nil
}

// heardIn takes the two files of sound.
const heardIn = `
To hear it, start quiet: %s as it came in, %s as players would, both equally loud. The sound is a demonstration synthesiser's, not your sampler's.`

// renderSound writes both sides as sound.
func renderSound(ctx context.Context, p *program.Program, dir string, cast *perform.Cast, report *offline.Report, file, shapedFile *smf.File) error {
	parts, err := demo.Played(report, cast)
	if err != nil {
		return err
	}
	raw, err := open("raw", file)
	if err != nil {
		return err
	}
	shaped, err := open("shaped", shapedFile)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("the folder cannot be made: %w", err)
	}
	return writeSound(ctx, p, dir, false, parts, raw, shaped)
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
