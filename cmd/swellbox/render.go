package main

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/proxy/formats/smf"
	"swellbox/proxy/layout"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

func (p *program) renderCommand() *cobra.Command {
	var out, locked, known, timing string
	var ornaments bool
	var details bool
	c := &cobra.Command{
		Use:   "render RAW.mid|PIECE.musicxml -o SHAPED.mid",
		Short: "shape a MIDI file",
		Long: `render plays a MIDI file through the engine and writes the shaped performance: the
same notes and texts, with the phrasing, expression, vibrato, timing and weight of
players, who know the piece from the file itself unless --score none is said. A MusicXML
score can stand in place of the MIDI file, or beside it: --score PIECE.musicxml tells the
players the marks, slurs and bars that a MIDI file does not hold. Of a score that is
played itself the trills, mordents, turns and tremolos are played out, as common
practice has them; glissandos are not.

Players come a little before or after the beat, by at most 60 ms, and the tempo
breathes with the phrases; it does not where a ritard is written already. That breathing
is written as tempos, so that every note stays in its bar: beside a score, a click or
hits that are set in bars, the file is still right. Where seconds count, as with a
film that is cut already, take --timing steady or --rubato 0. --timing notes keeps
the file's tempos and moves the notes out of their bars, as in a recording.

It says who is seated as what, of whom that is doubtful, and what to listen for; with --details also what was done to how many notes, with --json the same for scripts.`,
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
			return p.render(c.Context(), args[0], out, locked, manner, offline.Ornaments(ornaments), details)
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "", "`file` to write")
	c.Flags().BoolVar(&details, "details", false, "also say what was done to how many notes of each part")
	addOwnScore(c.Flags(), &known)
	addOrnaments(c.Flags(), &ornaments)
	addFileTiming(c.Flags(), &timing)
	addHabits(c.Flags())
	lockedFlag(c.Flags(), &locked)
	return c
}

func (p *program) render(ctx context.Context, in, out, locked string, manner perform.Manner, ornaments offline.Ornaments, details bool) error {
	if same(in, out) {
		return fmt.Errorf("%s would be overwritten by its own shaping; give -o another name", in)
	}
	cast, err := p.castFor(in, locked)
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
	if p.settings.JSON {
		return p.printJSON(report)
	}
	p.warnBriefly(report.Warnings, details)
	if details {
		p.printDetails(report)
	}
	p.printSummary(in, out, report, details)
	return nil
}

// castFor is the cast of a lock or, if none is named, of the settings and the seating beside the
// piece.
func (p *program) castFor(piece, locked string) (*perform.Cast, error) {
	if locked != "" {
		return p.lockedCast(locked)
	}
	p.seatBeside(piece)
	cast, err := p.settings.cast()
	if cast != nil {
		p.warn(renamedInCast(cast))
	}
	return cast, err
}

func same(a, b string) bool {
	x, errA := os.Stat(a)
	y, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(x, y)
}

// toCorrect says how to seat a piece otherwise than it was guessed: the seating that is written has
// the name by which it is found beside the piece.
func toCorrect(piece string) string {
	return fmt.Sprintf("To correct that: swellbox seating %s -o %s", typed(piece), typed(ownSeating(piece)))
}

// typed is a file's name as it is typed in a command.
func typed(name string) string {
	if strings.ContainsAny(name, " \t'\"$&;()*?[]\\|<>`!#~") {
		return "'" + strings.ReplaceAll(name, "'", `'\''`) + "'"
	}
	return name
}

// doubt says what was guessed on doubtful ground.
func (p *program) doubt(piece string, doubts []string) {
	width := min(p.width(), layout.Broadest)
	for _, d := range doubts {
		fmt.Fprintln(p.out, layout.Wrap("doubtful: "+d, width, "  "))
	}
	if len(doubts) > 0 {
		fmt.Fprintln(p.out, layout.Text(toCorrect(piece), width))
	}
}

func (p *program) printJSON(v any) error {
	enc := json.NewEncoder(p.out)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}
