package profile

import (
	"crypto/sha256"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"github.com/rs/zerolog"

	"swellbox/cmd/swellbox/settings"
)

// adopter keeps the history of one's own documents while the daemon plays: what an
// editor saved, and the daemon took, is a version that can be gone back to.
type adopter struct {
	settings *settings.Settings
	log      zerolog.Logger
	seen     map[string][sha256.Size]byte // by path
}

// Adopting keeps the history of the documents that are one's own by these settings; adopt is to be
// called when they may have changed.
func Adopting(s *settings.Settings, log zerolog.Logger) (adopt func()) {
	a := &adopter{settings: s, log: log, seen: map[string][sha256.Size]byte{}}
	return a.adopt
}

// adopt takes every document that is new since the last call into its history.
func (a *adopter) adopt() {
	for _, dir := range a.settings.OwnFolders() {
		entries, err := os.ReadDir(dir)
		if err != nil {
			continue // the reading of the profiles has said so
		}
		for _, e := range entries {
			ext := filepath.Ext(e.Name())
			if e.Type().IsRegular() && (ext == ".yaml" || ext == ".yml") {
				a.adoptOne(dir, e.Name())
			}
		}
	}
}

func (a *adopter) adoptOne(dir, name string) {
	path := filepath.Join(dir, name)
	b, err := os.ReadFile(path)
	if err != nil {
		return
	}
	sum := sha256.Sum256(b)
	if a.seen[path] == sum {
		return
	}
	a.seen[path] = sum
	s, err := storeFor(a.settings, dir)
	if err == nil {
		_, err = s.Adopt(name, a.settings.Writer())
	}
	if err != nil && !errors.Is(err, fs.ErrPermission) && !errors.Is(err, syscall.EROFS) {
		a.log.Warn().Err(err).Str("file", path).Msg("not taken into the history")
	}
}
