//go:build !windows

package control

import (
	"fmt"
	"os"
	"path/filepath"
	"syscall"
)

// private reports as an error a folder that others than its owner may enter: whoever
// reaches the socket may silence or switch the music.
func private(dir string) error {
	info, err := os.Stat(dir)
	if err != nil {
		return fmt.Errorf("the folder of the control socket cannot be looked at: %w", err)
	}
	if info.Mode().Perm()&0o077 != 0 {
		return fmt.Errorf("the folder %s of the control socket is open to others; close it with chmod 700, or name another with --control", dir)
	}
	if st, ok := info.Sys().(*syscall.Stat_t); ok && int(st.Uid) != os.Getuid() {
		return fmt.Errorf("the folder %s of the control socket belongs to somebody else; name another with --control", dir)
	}
	return nil
}

// DefaultPath is where a daemon listens unless told otherwise: in the
// folder of the user's session if there is one, else in the user's cache.
func DefaultPath() (string, error) {
	if dir := os.Getenv("XDG_RUNTIME_DIR"); dir != "" {
		return filepath.Join(dir, "swellbox", "control.sock"), nil
	}
	dir, err := os.UserCacheDir()
	if err != nil {
		return "", fmt.Errorf("no place for the control socket is known: %w; name one with --control", err)
	}
	return filepath.Join(dir, "swellbox", "run", "control.sock"), nil
}
