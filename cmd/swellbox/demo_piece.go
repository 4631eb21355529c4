package main

import (
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/audition"
	"swellbox/proxy/study/demo"
)

// demoPiece is what is demonstrated, and who plays it.
func demoPiece(p *program.Program, dir string, args []string) (*demo.Piece, *perform.Cast, error) {
	if len(args) == 0 {
		cast, err := p.Settings.Cast()
		return demo.BuiltIn(), cast, err
	}
	in := args[0]
	for _, name := range []string{"raw.mid", "shaped.mid"} {
		if settings.Same(in, filepath.Join(dir, name)) {
			return nil, nil, fmt.Errorf("%s would be overwritten; give -o another folder", in)
		}
	}
	piece, cast, err := ownPiece(p, in)
	if err != nil {
		return nil, nil, err
	}
	if length := piece.End + tail; length > audition.MaxLength {
		return nil, nil, fmt.Errorf("%s lasts %v, and a demonstration at most %v; render shapes it without its sound", in, length.Round(time.Second), audition.MaxLength)
	}
	return piece, cast, nil
}

// ownPiece is a piece of somebody's own, called as its file is, and who plays it.
func ownPiece(p *program.Program, in string) (*demo.Piece, *perform.Cast, error) {
	cast, err := p.CastFor(in, "")
	if err != nil {
		return nil, nil, err
	}
	file, score, err := offline.ReadPiece(in, offline.PlayOrnaments)
	if err != nil {
		return nil, nil, err
	}
	piece, err := demo.NewPiece(strings.TrimSuffix(filepath.Base(in), filepath.Ext(in)), file, score)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", in, err)
	}
	return piece, cast, nil
}

// demoParts are the parts of the built-in score, for the shell to complete.
func demoParts(*cobra.Command, string) []string { return partsOf(demo.BuiltIn()) }

// partsOf are the names of the parts of a piece, in score order.
func partsOf(piece *demo.Piece) []string {
	t, err := offline.NewTimeline(piece.File, 0)
	if err != nil {
		return nil
	}
	var all []string
	for _, h := range t.Hints {
		all = append(all, h.Track)
	}
	return all
}
