package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/profiles"
	"swellbox/profiles/atomicfile"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/layout"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// noSeating is given in place of a file by those who want none, not even one beside the piece.
const noSeating = "none"

func (p *program) seatingCommand() *cobra.Command {
	var out string
	var replace bool
	c := &cobra.Command{
		Use:   "seating RAW.mid -o seating.yaml",
		Short: "write down who is taken to play what in a MIDI file, to correct it",
		Long: `seating guesses the instruments of a MIDI file and how many play each part, and writes
that as a seating document, in which comments say how each was guessed, how sure that is
and what else it may be. Correct it in any editor.

A seating beside a piece is found by itself by render, play, balance and live --score:
PIECE.seating.yaml first, where PIECE is the name of the piece's file without its ending,
then seating.yaml in the same folder, unless that says that it is for another piece.
--seating FILE names another; --seating none does without.

Without -o the document is printed.`,
		Args: exactly(1, "one MIDI file or score"),
		RunE: func(_ *cobra.Command, args []string) error { return p.seating(args[0], out, replace) },
	}
	c.Flags().StringVarP(&out, "out", "o", "", "`file` to write")
	c.Flags().BoolVar(&replace, "replace", false, "replace a file that is there already")
	return c
}

func (p *program) seating(in, out string, replace bool) error {
	if _, err := os.Lstat(out); out != "" && !replace && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s is there already and may hold your corrections; give -o another name, or --replace", out)
	}
	if out != "" && same(in, out) {
		return fmt.Errorf("%s would be overwritten by its seating; give -o another name", in)
	}
	file, cast, err := p.castPiece(in)
	if err != nil {
		return err
	}
	parts, err := offline.GuessParts(file, cast)
	if err != nil {
		return fmt.Errorf("%s: %w", in, err)
	}
	p.warnOfSeats(file, cast)
	text, err := offline.SeatingText(in, parts, cast.Ensemble())
	if err != nil {
		return err
	}
	if s, err := profiles.ParseSeating("the seating", text); err != nil {
		return fmt.Errorf("the seating of %s cannot be written so that it can be read again: %w", in, err)
	} else if err := s.Check(cast.Library); err != nil {
		return err
	}
	if out == "" && !p.settings.JSON {
		_, err := p.out.Write(text)
		return err
	}
	if out != "" {
		err := atomicfile.Write(out, func(w io.Writer) error { _, err := w.Write(text); return err })
		if err != nil {
			return err
		}
	}
	return p.tellSeating(out, parts)
}

// warnOfSeats names the seats that no part of a piece takes.
func (p *program) warnOfSeats(file *smf.File, cast *perform.Cast) {
	pieces := 1
	if file.Format == 2 {
		pieces = len(file.Tracks)
	}
	var timelines []*offline.Timeline
	for i := range pieces {
		if t, err := offline.NewTimeline(file, i); err == nil { // who plays it has said why not
			timelines = append(timelines, t)
		}
	}
	p.warn(offline.EmptySeats(cast.Seating, timelines...))
}

// castPiece reads a piece and who may play it, and says what is odd about either.
func (p *program) castPiece(in string) (*smf.File, *perform.Cast, error) {
	cast, err := p.settings.cast()
	if err != nil {
		return nil, nil, err
	}
	p.warn(renamedInCast(cast))
	file, _, err := offline.ReadPiece(in, offline.PlayOrnaments)
	if err != nil {
		return nil, nil, err
	}
	p.warn(file.Warnings)
	return file, cast, nil
}

// tellSeating lists who was seated.
func (p *program) tellSeating(out string, parts []offline.Guessed) error {
	type seat struct {
		Part    string   `json:"part"`
		Port    int      `json:"port"`
		Channel int      `json:"channel"`
		Program int      `json:"program,omitempty"`
		Profile string   `json:"profile"`
		Players int      `json:"players"`
		By      string   `json:"players_by"`
		Why     string   `json:"why"`
		Doubt   string   `json:"doubt,omitempty"`
		Else    []string `json:"else,omitempty"`
	}
	seats := []seat{}
	var doubts []string
	for i := range parts {
		g := &parts[i]
		seats = append(seats, seat{g.Name, g.Port + 1, g.Channel + 1, g.Program, g.Profile, g.Players, g.By, g.Why, g.Doubt, g.Else})
		doubts = append(doubts, g.Doubts()...)
	}
	if p.settings.JSON {
		return p.printJSON(struct {
			File  string `json:"file,omitempty"`
			Seats []seat `json:"seats"`
		}{out, seats})
	}
	width := min(p.width(), layout.Broadest)
	t := layout.Table{Columns: []layout.Column{{Title: "part", Words: true}, {Title: "profile"}, {Title: "players", Right: true}, {}}}
	for _, s := range seats {
		sure := ""
		if s.Doubt != "" {
			sure = "doubtful"
		}
		t.Row(s.Part, s.Profile, fmt.Sprint(s.Players), sure)
	}
	if err := t.Write(p.out, width); err != nil {
		return err
	}
	for _, d := range doubts {
		fmt.Fprintln(p.out, layout.Wrap("doubtful: "+d, width, "  "))
	}
	fmt.Fprintf(p.out, "written to %s: correct what is wrong\n", out)
	return nil
}

// ownSeating is the name by which the seating of one piece alone is found beside it.
func ownSeating(piece string) string {
	return strings.TrimSuffix(piece, filepath.Ext(piece)) + ".seating.yaml"
}

// seatBeside has a piece be seated by the document beside it, if there is one and no other is
// given, and says so.
func (p *program) seatBeside(piece string) {
	s := &p.settings
	if s.Seating != "" || s.unseated || !isFile(piece) {
		return
	}
	own := ownSeating(piece)
	if isFile(own) {
		s.Seating = own
	} else if shared := filepath.Join(filepath.Dir(piece), "seating.yaml"); isFile(shared) {
		read, err := profiles.ReadSeating(shared)
		if err == nil && read.Piece != "" && read.Piece != filepath.Base(piece) {
			p.note(fmt.Sprintf("%s is the seating of %s, and is not used for %s", shared, read.Piece, filepath.Base(piece)))
			return
		}
		s.Seating = shared // what is wrong with it is said when it is read for good
	}
	if s.Seating != "" {
		p.note(fmt.Sprintf("seated by %s, which lies beside the piece (--seating none does without)", s.Seating))
	}
}

// note says on the error side what is no warning.
func (p *program) note(text string) {
	if p.json {
		p.sayJSON(struct {
			Note string `json:"note"`
		}{text})
		return
	}
	fmt.Fprintf(p.err, "swellbox: %s\n", text)
}

func isFile(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular()
}
