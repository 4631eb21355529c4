package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/profiles"
	"swellbox/profiles/lock"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/layout"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

func (p *program) profileLockCommand() *cobra.Command {
	var out string
	var replace bool
	c := &cobra.Command{
		Use:   "lock RAW.mid",
		Short: "fix the profiles of a piece, so that it sounds the same next year",
		Long: `lock writes all that the parts of a piece are played from into one file, to be kept
with the piece: the seating, and the text of each profile, those that are built in
too. live, play and render take it with --locked, and nothing else then. What the seating
says of the hall, and the controller map that --controller-map names, are held too.`,
		Args: exactly(1, "one MIDI file or score"),
		RunE: func(_ *cobra.Command, args []string) error {
			if out == "" {
				out = filepath.Join(filepath.Dir(args[0]), "swellbox.lock")
			}
			return p.lock(args[0], out, replace)
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "", "`file` to write (default: swellbox.lock beside the piece)")
	c.Flags().BoolVar(&replace, "replace", false, "replace a lock that says something else")
	return c
}

func (p *program) lock(in, out string, replace bool) error {
	if same(in, out) {
		return fmt.Errorf("%s would be overwritten by its lock; give -o another name", in)
	}
	p.seatBeside(in)
	file, cast, err := p.castPiece(in)
	if err != nil {
		return err
	}
	p.warnOfSeats(file, cast)
	parts, err := castOf(file, cast)
	if err != nil {
		return fmt.Errorf("%s: %w", in, err)
	}
	l, err := lock.Make(build(), cast.Library, cast.Seats(), parts)
	if err != nil {
		return err
	}
	if err := keepOther(out, l, replace); err != nil {
		return err
	}
	if err := l.Write(out); err != nil {
		return err
	}
	return p.tellLock(out, l, parts)
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

func (p *program) tellLock(path string, l *lock.Lock, parts []lock.Part) error {
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
	if p.settings.JSON {
		return p.printJSON(said)
	}
	seats := layout.Table{Columns: []layout.Column{{Title: "part", Words: true}, {Title: "plays as", Words: true}}}
	for _, part := range said.Parts {
		seats.Row(part.Name, part.Profile)
	}
	documents := layout.Table{Columns: []layout.Column{{Title: "document", Words: true}, {Title: "from", Words: true}, {Title: "content"}}}
	for _, d := range said.Documents {
		documents.Row(d.Name, d.Origin.String(), d.Hash[:12])
	}
	err := seats.Write(p.out, p.width())
	fmt.Fprintln(p.out)
	if err = errors.Join(err, documents.Write(p.out, p.width())); err != nil {
		return err
	}
	fmt.Fprintln(p.out)
	return p.sayf("%s holds these %s; play the piece with --locked %s", path, counted(len(said.Documents), "document"), path)
}

// lockedCast is the cast of a lock, and of nothing else: neither the profiles of this
// machine nor its seating have a say.
func (p *program) lockedCast(path string) (*perform.Cast, error) {
	l, err := lock.Read(path)
	if err != nil {
		return nil, err
	}
	c := &perform.Cast{Place: p.settings.place()}
	if c.Library, err = l.Library(); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if c.Seating, err = l.Seats(); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if err := c.Seating.Check(c.Library); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	p.warn(lockedWords(path, c))
	if m := p.settings.ControllerMap; m != "" {
		p.warn([]string{fmt.Sprintf("the lock %s says what the sampler listens to, and the controller map %s is left out; swellbox profile lock RAW.mid --controller-map %s makes one with it", path, m, m)})
	}
	if now := build(); !l.Program.Same(&now) {
		p.warn([]string{otherProgram(path, &l.Program, &now)})
	}
	return c, nil
}

// lockedWords is a warning if documents of a lock have old keys. They are sealed, so the piece is
// to be locked again, by documents that were brought up to date.
func lockedWords(path string, c *perform.Cast) (warnings []string) {
	if told := oldWords(c); len(told) > 0 {
		warnings = append(warnings, fmt.Sprintf("%s holds documents with old names of keys, which still work; swellbox profile update FILE writes the present ones into your own, and swellbox profile lock RAW.mid --replace locks the piece anew: %s",
			path, strings.ReplaceAll(told.Error(), "\n", "; ")))
	}
	return warnings
}

// otherProgram says that a lock may have been made by another program than the one that reads it.
func otherProgram(path string, then, now *lock.Build) string {
	const so = "the profiles are the same, the habits that play them may not be"
	switch {
	case now.Unknown():
		return fmt.Sprintf("this swellbox was built without version control and cannot say whether it is the one that made %s: %s; make build in a git checkout makes one that can", path, so)
	case then.Unknown():
		return fmt.Sprintf("%s was made by a swellbox built without version control, which may not be this one: %s; swellbox profile lock with this one makes a lock that says so", path, so)
	}
	return fmt.Sprintf("%s was made by swellbox %s, and this is %s: %s", path, named(then), named(now), so)
}

// named is a build by its version and, where that says little, its revision.
func named(b *lock.Build) string {
	if b.Revision == "" || strings.Contains(b.Version, b.Revision[:min(len(b.Revision), 12)]) {
		return b.Version
	}
	return fmt.Sprintf("%s at revision %.12s", b.Version, b.Revision)
}
