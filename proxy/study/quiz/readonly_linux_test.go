package quiz

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
)

// nobody is a user without rights of its own on Linux systems (common practice, no
// published source).
const nobody = 65534

// asOrdinaryUser calls f as a user for whom a folder can be read-only, which it never is
// for root: the thread's identity for file access is changed meanwhile.
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

// In a folder that is read-only a record is neither written nor set aside, and what is
// there stays.
func TestRecordInAReadOnlyFolder(t *testing.T) {
	dir := t.TempDir()
	if err := os.Chmod(filepath.Dir(dir), 0o755); err != nil { // so that others can come this far
		t.Fatal(err)
	}
	damaged := filepath.Join(dir, "quiz.json")
	if err := os.WriteFile(damaged, []byte("torn"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(dir, 0o555); err != nil {
		t.Fatal(err)
	}
	defer os.Chmod(dir, 0o755) // or it could not be removed
	asOrdinaryUser(t, func() {
		err := NewRecord().Write(filepath.Join(dir, "new.json"))
		if !errors.Is(err, os.ErrPermission) || !strings.Contains(err.Error(), "choose a folder that you may write to") {
			t.Errorf("writing: %v", err)
		}
		if err := NewRecord().Write(filepath.Join(dir, "below", "new.json")); !errors.Is(err, os.ErrPermission) {
			t.Errorf("writing below: %v", err)
		}
		if _, aside, err := ReadRecord(damaged); !errors.Is(err, os.ErrPermission) || aside != "" {
			t.Errorf("setting aside: %q, %v", aside, err)
		}
	})
	if got := text(t, damaged); got != "torn" {
		t.Errorf("the record became %q", got)
	}
	if entries, err := os.ReadDir(dir); err != nil || len(entries) != 1 {
		t.Errorf("the folder holds %v, %v", entries, err)
	}
}
