package profiles

import (
	"os"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"
)

func TestUnreadable(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.yaml")
	if err := os.WriteFile(path, []byte("swellbox: 1\nname: a\n"), 0); err != nil {
		t.Fatal(err)
	}
	if os.Geteuid() == 0 {
		// Root reads everything. The thread looks at files as another user, and ends
		// with the test.
		const nobody = 65534
		done := make(chan struct{})
		go func() {
			defer close(done)
			runtime.LockOSThread()
			if _, _, errno := syscall.RawSyscall(syscall.SYS_SETFSUID, nobody, 0, 0); errno != 0 {
				t.Errorf("cannot become another user: %v", errno)
				return
			}
			if err := os.Chmod(filepath.Dir(path), 0o755); err == nil {
				t.Error("still root")
			}
			readRefused(t, path, "permission denied")
		}()
		<-done
		return
	}
	readRefused(t, path, "permission denied")
}

// A file that says it is empty and is not stands in for one that grows while it is read.
func TestFileThatChangesWhileItIsRead(t *testing.T) {
	const path = "/proc/self/limits"
	if info, err := os.Stat(path); err != nil || info.Size() != 0 || !info.Mode().IsRegular() {
		t.Skip("there is no such file here")
	}
	readRefused(t, path, path+": the file was written while it was read; read it again when it is saved")
}
