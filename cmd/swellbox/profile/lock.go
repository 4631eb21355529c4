package profile

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/profiles"
	"swellbox/profiles/lock"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/layout"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

func lockCommand(p *program.Program) *cobra.Command {
	var out string
	var replace bool
	c := &cobra.Command{
		Use:   "lock RAW.mid",
		Short: "fix the profiles of a piece, so that it sounds the same next year",
		Long: `lock writes all that the parts of a piece are played from into one file, to be kept
with the piece: the seating, and the text of each profile, those that are built in
too. live, play and render take it with --locked, and nothing else then. What the seating
says of the hall, and the controller map that --controller-map names, are held too.`,
		Args: usage.Exactly(1, "one MIDI file or score"),
		RunE: func(_ *cobra.Command, args []string) error {
			if out == "" {
				out = filepath.Join(filepath.Dir(args[0]), "swellbox.lock")
			}
			return lockPiece(p, args[0], out, replace)
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "", "`file` to write (default: swellbox.lock beside the piece)")
	c.Flags().BoolVar(&replace, "replace", false, "replace a lock that says something else")
	return c
}

func lockPiece(p *program.Program, in, out string, replace bool) error {
	if settings.Same(in, out) {
		return fmt.Errorf("%s would be overwritten by its lock; give -o another name", in)
	}
	p.SeatBeside(in)
	file, cast, err := p.CastPiece(in)
	if err != nil {
		return err
	}
	p.WarnOfSeats(file, cast)
	parts, err := castOf(file, cast)
	if err != nil {
		return fmt.Errorf("%s: %w", in, err)
	}
	l, err := lock.Make(program.Build(), cast.Library, cast.Seats(), parts)
	if err != nil {
		return err
	}
	if err := keepOther(out, l, replace); err != nil {
		return err
	}
	if err := l.Write(out); err != nil {
		return err
	}
	return tellLock(p, out, l, parts)
}

// castOf seats the parts of a file as render does. In a file of several pieces the
// first that plays on a channel says who plays there.
func castOf(f *smf.File, cast *perform.Cast) ([]lock.Part, error) {
	pieces := 1
	if f.Format == 2 {
		pieces = len(f.Tracks)
	}
	var parts []lock.Part
	taken := map[[2]int]bool{}
	for piece := range pieces {
		t, err := offline.NewTimeline(f, piece)
		if err != nil {
			return nil, err
		}
		for _, h := range t.Hints {
			address := [2]int{h.Port, h.Channel}
			if taken[address] {
				continue
			}
			taken[address] = true
			part, profile, err := cast.Choose(h)
			if err != nil {
				return nil, err
			}
			players := part.Players
			if players == profile.Players {
				players = 0 // so that the profile's say counts
			}
			seated := false
			if cast.Seating != nil {
				_, seated = cast.Seating.For(h)
			}
			parts = append(parts, lock.Part{Name: part.Name, Port: h.Port, Channel: h.Channel, Profile: part.Profile, Players: players, Seated: seated})
		}
	}
	return parts, nil
}

// keepOther is an error if the lock would replace one that says something else.
func keepOther(path string, l *lock.Lock, replace bool) error {
	old, err := os.ReadFile(path)
	if replace || errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("cannot look into %s: %w", path, err)
	}
	b, err := l.Encode()
	if err == nil && !bytes.Equal(b, old) {
		err = fmt.Errorf("%s is there and says something else; give -o another name, or --replace", path)
	}
	return err
}

func tellLock(p *program.Program, path string, l *lock.Lock, parts []lock.Part) error {
	type document struct {
		Name   string          `json:"name"`
		Origin profiles.Origin `json:"origin"`
		File   string          `json:"file"`
		Hash   string          `json:"hash"`
	}
	type seat struct {
		Name    string `json:"name"`
		Port    int    `json:"port"`
		Channel int    `json:"channel"`
		Profile string `json:"profile"`
	}
	said := struct {
		File      string     `json:"file"`
		Program   string     `json:"program"`
		Build     lock.Build `json:"build"`
		Parts     []seat     `json:"parts"`
		Documents []document `json:"documents"`
	}{path, l.Program.Version, l.Program, []seat{}, []document{}}
	for _, part := range parts {
		said.Parts = append(said.Parts, seat{part.Name, part.Port, part.Channel, part.Profile})
	}
	for _, m := range l.Documents {
		said.Documents = append(said.Documents, document{m.Name, m.Origin, m.File, m.Hash()})
	}
	if p.Settings.JSON {
		return p.PrintJSON(said)
	}
	seats := layout.Table{Columns: []layout.Column{{Title: "part", Words: true}, {Title: "plays as", Words: true}}}
	for _, part := range said.Parts {
		seats.Row(part.Name, part.Profile)
	}
	documents := layout.Table{Columns: []layout.Column{{Title: "document", Words: true}, {Title: "from", Words: true}, {Title: "content"}}}
	for _, d := range said.Documents {
		documents.Row(d.Name, d.Origin.String(), d.Hash[:12])
	}
	err := seats.Write(p.Out, p.Width())
	fmt.Fprintln(p.Out)
	if err = errors.Join(err, documents.Write(p.Out, p.Width())); err != nil {
		return err
	}
	fmt.Fprintln(p.Out)
	return p.Sayf("%s holds these %s; play the piece with --locked %s", path, tell.Counted(len(said.Documents), "document"), path)
}
