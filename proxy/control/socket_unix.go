//go:build !windows

package control

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"syscall"
	"time"
)

// listen makes a socket and its folder, closed to others, if it is not there. A socket that
// nobody answers on is left over and is replaced.
func listen(path string) (net.Listener, error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, fmt.Errorf("the folder of the control socket cannot be made: %w", err)
	}
	if err := private(filepath.Dir(path)); err != nil {
		return nil, err
	}
	if err := clearStale(path); err != nil {
		return nil, err
	}
	l, err := net.Listen("unix", path)
	if err != nil {
		return nil, fmt.Errorf("the control socket cannot be made: %w; name another with --control", err)
	}
	return l, nil
}

// Folder is where a daemon that listens there keeps what is its own: beside the socket.
func Folder(path string) (string, error) { return filepath.Dir(path), nil }

// dial connects to what listens there.
func dial(ctx context.Context, path string) (net.Conn, error) {
	var d net.Dialer
	return d.DialContext(ctx, "unix", path)
}

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

// clearStale removes a socket that nobody answers on.
func clearStale(path string) error {
	info, err := os.Lstat(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("the control socket cannot be looked at: %w", err)
	}
	if info.Mode().Type() != os.ModeSocket {
		return fmt.Errorf("%s is not a socket; remove it, or name another control socket with --control", path)
	}
	if conn, err := net.DialTimeout("unix", path, time.Second); err == nil {
		conn.Close()
		return running(path)
	}
	if err := os.Remove(path); err != nil {
		return fmt.Errorf("a left-over control socket cannot be removed: %w", err)
	}
	return nil
}
