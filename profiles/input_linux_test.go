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
