//go:build unix

package profiles

import (
	"path/filepath"
	"syscall"
	"testing"
)

// Opening a pipe would wait for someone who writes into it.
func TestPipeOrDeviceInPlaceOfADocument(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe.yaml")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Skipf("no pipe can be made: %v", err)
	}
	for _, path := range []string{pipe, "/dev/zero", "/dev/null"} {
		readRefused(t, path, path+": this is a device, a pipe or a socket, wanted is an ordinary file")
	}
}
