package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/usage"
	"swellbox/profiles"
	"swellbox/profiles/atomicfile"
	"swellbox/proxy/layout"
	"swellbox/proxy/offline"
)

func seatingCommand(p *program.Program) *cobra.Command {
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
		Args: usage.Exactly(1, "one MIDI file or score"),
		RunE: func(_ *cobra.Command, args []string) error { return writeSeating(p, args[0], out, replace) },
	}
	c.Flags().StringVarP(&out, "out", "o", "", "`file` to write")
	c.Flags().BoolVar(&replace, "replace", false, "replace a file that is there already")
	return c
}

func writeSeating(p *program.Program, in, out string, replace bool) error {
	if _, err := os.Lstat(out); out != "" && !replace && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s is there already and may hold your corrections; give -o another name, or --replace", out)
	}
	if out != "" && settings.Same(in, out) {
		return fmt.Errorf("%s would be overwritten by its seating; give -o another name", in)
	}
	file, cast, err := p.CastPiece(in)
	if err != nil {
		return err
	}
	parts, err := offline.GuessParts(file, cast)
	if err != nil {
		return fmt.Errorf("%s: %w", in, err)
	}
	p.WarnOfSeats(file, cast)
	text, err := offline.SeatingText(in, parts, cast.Ensemble())
	if err != nil {
		return err
	}
	if s, err := profiles.ParseSeating("the seating", text); err != nil {
		return fmt.Errorf("the seating of %s cannot be written so that it can be read again: %w", in, err)
	} else if err := s.Check(cast.Library); err != nil {
		return err
	}
	if out == "" && !p.Settings.JSON {
		_, err := p.Out.Write(text)
		return err
	}
	if out != "" {
		if err := atomicfile.WriteBytes(out, text); err != nil {
			return err
		}
	}
	return tellSeating(p, out, parts)
}

// tellSeating lists who was seated.
func tellSeating(p *program.Program, out string, parts []offline.Guessed) error {
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
	if p.Settings.JSON {
		return p.PrintJSON(struct {
			File  string `json:"file,omitempty"`
			Seats []seat `json:"seats"`
		}{out, seats})
	}
	width := min(p.Width(), layout.Broadest)
	t := layout.Table{Columns: []layout.Column{{Title: "part", Words: true}, {Title: "profile"}, {Title: "players", Right: true}, {}}}
	for _, s := range seats {
		sure := ""
		if s.Doubt != "" {
			sure = "doubtful"
		}
		t.Row(s.Part, s.Profile, fmt.Sprint(s.Players), sure)
	}
	if err := t.Write(p.Out, width); err != nil {
		return err
	}
	for _, d := range doubts {
		fmt.Fprintln(p.Out, layout.Wrap("doubtful: "+d, width, "  "))
	}
	fmt.Fprintf(p.Out, "written to %s: correct what is wrong\n", out)
	return nil
}
