package program

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// CastFor is the cast of a lock or, if none is named, of the settings and the seating beside the
// piece.
func (p *Program) CastFor(piece, locked string) (*perform.Cast, error) {
	if locked != "" {
		return p.LockedCast(locked)
	}
	p.SeatBeside(piece)
	cast, err := p.Settings.Cast()
	if cast != nil {
		p.Warn(RenamedInCast(cast))
	}
	return cast, err
}

// WarnOfSeats names the seats that no part of a piece takes.
func (p *Program) WarnOfSeats(file *smf.File, cast *perform.Cast) {
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
	p.Warn(offline.EmptySeats(cast.Seating, timelines...))
}

// CastPiece reads a piece and who may play it, and says what is odd about either.
func (p *Program) CastPiece(in string) (*smf.File, *perform.Cast, error) {
	cast, err := p.Settings.Cast()
	if err != nil {
		return nil, nil, err
	}
	p.Warn(RenamedInCast(cast))
	file, _, err := offline.ReadPiece(in, offline.PlayOrnaments)
	if err != nil {
		return nil, nil, err
	}
	p.Warn(file.Warnings)
	return file, cast, nil
}

// OwnSeating is the name by which the seating of one piece alone is found beside it.
func OwnSeating(piece string) string {
	return strings.TrimSuffix(piece, filepath.Ext(piece)) + ".seating.yaml"
}

// SeatBeside has a piece be seated by the document beside it, if there is one and no other is
// given, and says so.
func (p *Program) SeatBeside(piece string) {
	s := &p.Settings
	if s.Seating != "" || s.Unseated || !IsFile(piece) {
		return
	}
	own := OwnSeating(piece)
	if IsFile(own) {
		s.Seating = own
	} else if shared := filepath.Join(filepath.Dir(piece), "seating.yaml"); IsFile(shared) {
		read, err := profiles.ReadSeating(shared)
		if err == nil && read.Piece != "" && read.Piece != filepath.Base(piece) {
			p.Note(fmt.Sprintf("%s is the seating of %s, and is not used for %s", shared, read.Piece, filepath.Base(piece)))
			return
		}
		s.Seating = shared // what is wrong with it is said when it is read for good
	}
	if s.Seating != "" {
		p.Note(fmt.Sprintf("seated by %s, which lies beside the piece (--seating none does without)", s.Seating))
	}
}

// IsFile reports whether a regular file is there.
func IsFile(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular()
}
