package live

import (
	"os"
	"path/filepath"
	"time"

	"swellbox/expr"
)

// ScoreFile is the file that a score was read from, an export of the notation program.
type ScoreFile struct {
	Path string
	// Read reads it anew. warnings say what was wrong with it but could be read over.
	Read func() (score *expr.Score, warnings []string, err error)
}

// FollowScore has a daemon play on by a score whenever its file is exported anew, until it is
// closed. What cannot be read is logged, and the last good score stays.
func FollowScore(d *Daemon, file ScoreFile) {
	stamped := func() (t time.Time, size int64) {
		if info, err := os.Stat(file.Path); err == nil {
			return info.ModTime(), info.Size()
		}
		return t, -1
	}
	at, size := stamped()
	folder := []string{filepath.Dir(file.Path)}
	w := WatchFolders(func() []string { return folder }, func() {
		now, bytes := stamped()
		if bytes < 0 || bytes == size && now.Equal(at) {
			return // something else in the folder, or it is about to be written
		}
		at, size = now, bytes
		file.take(d)
	})
	d.closeWith(w)
}

// take reads the file and has a daemon play on by it.
func (file *ScoreFile) take(d *Daemon) {
	score, warnings, err := file.Read()
	for _, words := range warnings {
		d.log.Warn().Msg(words)
	}
	switch {
	case err != nil:
		d.log.Warn().Err(err).Msg("the score that was exported anew is not taken; playing by the last good one")
	case score != nil:
		d.TakeScore(score)
		d.log.Info().Str("score", filepath.Base(file.Path)).Int("notes", len(score.Notes)).Msg("score taken")
	}
}

// TakeScore plays on by another state of the score. What sounds and waits plays out as it is; where the
// music was on the page is where it is looked for first.
func (d *Daemon) TakeScore(score *expr.Score) {
	orders{d.performance}.takeScore(score)
}
