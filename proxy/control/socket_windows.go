package control

import (
	"fmt"
	"os"
	"path/filepath"
)

// private has nothing to check: a user's cache folder on Windows is closed to other
// users by the rights it inherits.
func private(string) error { return nil }

// DefaultPath is where a daemon listens unless told otherwise.
func DefaultPath() (string, error) {
	dir, err := os.UserCacheDir()
	if err != nil {
		return "", fmt.Errorf("no place for the control socket is known: %w; name one with --control", err)
	}
	return filepath.Join(dir, "swellbox", "run", "control.sock"), nil
}
