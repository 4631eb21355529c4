package atomicfile

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
)

// nobody is a user without rights of its own on Linux systems (common practice,
// no published source).
const nobody = 65534

// asOrdinaryUser calls f as a user for whom a folder can be read-only, which it
// never is for root: the thread's identity for file access is changed meanwhile.
func asOrdinaryUser(t *testing.T, f func()) {
	t.Helper()
	if os.Geteuid() == 0 {
		runtime.LockOSThread()
		defer runtime.UnlockOSThread()
		if _, _, e := syscall.RawSyscall(syscall.SYS_SETFSUID, nobody, 0, 0); e != 0 {
			t.Fatal(e)
		}
		defer syscall.RawSyscall(syscall.SYS_SETFSUID, 0, 0, 0)
	}
	f()
}

func TestReadOnlyFolder(t *testing.T) {
	dir := t.TempDir()
	if err := os.Chmod(filepath.Dir(dir), 0o755); err != nil { // so that others can come this far
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "old"), "old")
	if err := os.Chmod(dir, 0o555); err != nil {
		t.Fatal(err)
	}
	defer os.Chmod(dir, 0o755) // or it could not be removed
	for _, name := range []string{"old", "new"} {
		path := filepath.Join(dir, name)
		asOrdinaryUser(t, func() {
			err := Write(path, text("new"))
			if !errors.Is(err, os.ErrPermission) || !strings.HasSuffix(err.Error(), "choose a folder that you may write to") {
				t.Errorf("%s: error %v", name, err)
			}
		})
	}
	lists(t, dir, "old")
	holds(t, filepath.Join(dir, "old"), "old")
}
