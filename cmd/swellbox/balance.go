package main

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/usage"
	"swellbox/expr/acoustics"
	"swellbox/proxy/offline"
	"swellbox/proxy/study/balance"
)

// balanceFlags are the flags of balance.
type balanceFlags struct {
	room, listener, out, locked string
	listen                      string // bars to write as sound
	place                       string // empty for both
}

func balanceCommand(p *program.Program) *cobra.Command {
	var f balanceFlags
	c := &cobra.Command{
		Use:   "balance RAW.mid|PIECE.musicxml",
		Short: "report who is in front in a score, who is heard and who is lost, in a hall and in a studio",
		Long: `balance hears a score as it is written, bar by bar: in a hall with the players on
their seats, and in a studio where every part is recorded apart. Parts that move
together are one line. It tells which line a listener follows, which is heard beside
it, what is background, what only colours a line and what is lost, warns of lines
that should lead and cannot be heard, and says why and what to try: all of it was
tried in the model.

With --listen it also writes some bars as sound, as they are written and with the
mildest remedy that it found for the tune that is behind in them.

It is a model, not a rehearsal: listen to live concerts, and study scores.`,
		Args: usage.Exactly(1, "one MIDI file or score"),
		RunE: func(c *cobra.Command, args []string) error {
			if place := c.Flags().Lookup("place"); place.Changed {
				f.place = place.Value.String()
			}
			return reportBalance(c.Context(), p, args[0], f)
		},
	}
	c.Flags().StringVar(&f.room, "room", "large", "`size` of the hall: chamber, mid or large")
	c.Flags().StringVar(&f.listener, "listener", "row 10", "`place` from which to listen: podium, or a row as in \"row 10\"")
	c.Flags().String("place", "hall", "only the report of this `place`: hall or studio")
	c.Flags().Lookup("place").DefValue = "" // what the help tells: without it there are both
	c.Flags().StringVarP(&f.out, "out", "o", "", "`folder` to write the report into, as a page, a picture and tables")
	c.Flags().StringVar(&f.listen, "listen", "", "also write these `bars`, as in 24-26, as before.wav and after.wav into the folder of -o: as written, and with the mildest remedy")
	lockedFlag(c.Flags(), &f.locked)
	return c
}

func reportBalance(ctx context.Context, p *program.Program, in string, f balanceFlags) error {
	if f.listen != "" && f.out == "" {
		return fmt.Errorf("--listen writes sound: say into which folder with -o FOLDER: %w", usage.ErrUsage)
	}
	opt, err := f.options()
	if err != nil {
		return err
	}
	cast, err := p.CastFor(in, f.locked)
	if err != nil {
		return err
	}
	file, piece, err := offline.ReadPiece(in, offline.PlayOrnaments)
	if err != nil {
		return err
	}
	opt.Piece = piece
	end := func(error) {}
	opt.Progress = barsHeard(p, &end)
	result, err := balance.Analyse(ctx, file, cast, opt)
	end(err)
	if err != nil {
		return fmt.Errorf("%s: %w", in, err)
	}
	if result.Title == "" {
		result.Title = filepath.Base(in)
	}
	if f.place != "" {
		result.Reports = slices.DeleteFunc(result.Reports, func(r balance.Report) bool { return r.Place != f.place })
	}
	p.Warn(result.LeftOut)
	p.WarnOfSeats(file, cast)
	if f.out != "" {
		if err := result.WriteFolder(f.out); err != nil {
			return err
		}
	}
	if p.Settings.JSON {
		if f.listen != "" {
			if err := hearRemedy(ctx, p, result, f.listen, f.out); err != nil {
				return err
			}
		}
		return result.JSON(p.Out)
	}
	if err := result.Table(p.Out, p.Width()); err != nil {
		return err
	}
	doubt(p, in, result.Doubts())
	if f.out != "" {
		fmt.Fprintf(p.Out, "\nWritten to %s: balance.html, balance.svg, balance.csv, balance.json\n", f.out)
	}
	if f.listen != "" {
		return hearRemedy(ctx, p, result, f.listen, f.out)
	}
	return nil
}

// longPiece is from how many bars on an analysis tells how far it is; less takes no
// second.
const longPiece = 400

// barsHeard shows the progress of a long piece; end is set to what ends the showing.
func barsHeard(p *program.Program, end *func(error)) func(done, total int) {
	var show func(done, length time.Duration)
	return func(done, total int) {
		if total < longPiece {
			return
		}
		if show == nil {
			show, *end = p.Progress("hearing bars")
		}
		show(time.Duration(done), time.Duration(total))
	}
}

// lastRow is the last row in which a listener can be put: no hall has more.
const lastRow = 60

// options are the hall and the seat that the flags name.
func (f *balanceFlags) options() (balance.Options, error) {
	opt := balance.DefaultOptions()
	room, ok := acoustics.LookupRoom(f.room)
	if !ok {
		return opt, fmt.Errorf("--room is %q; it can be chamber, mid or large: %w", f.room, usage.ErrUsage)
	}
	opt.Room = room
	where := strings.Join(strings.Fields(f.listener), " ")
	if where == "podium" {
		opt.Listener = acoustics.Podium()
	} else {
		number, found := strings.CutPrefix(where, "row ")
		row, err := strconv.Atoi(number)
		if !found || err != nil || row < 1 || row > lastRow {
			return opt, fmt.Errorf("--listener is %q; it can be podium, or row 1 to row %d: %w", f.listener, lastRow, usage.ErrUsage)
		}
		opt.Listener = acoustics.Row(row)
		where = fmt.Sprintf("row %d", row)
	}
	opt.Where = fmt.Sprintf("%s hall, %s", f.room, where)
	return opt, nil
}
