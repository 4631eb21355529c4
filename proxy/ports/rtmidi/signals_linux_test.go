package rtmidi

import (
	"errors"
	"os"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/sys/unix"
)

// blocked is the set of signals that are held off the present thread, as the kernel shows it.
func blocked(t *testing.T) uint64 {
	t.Helper()
	text, err := os.ReadFile("/proc/thread-self/status")
	if err != nil {
		t.Skip(err)
	}
	_, rest, _ := strings.Cut(string(text), "\nSigBlk:\t")
	mask, err := strconv.ParseUint(strings.SplitN(rest, "\n", 2)[0], 16, 64)
	if err != nil {
		t.Fatal(err)
	}
	return mask
}

func bit(s unix.Signal) uint64 { return 1 << (s - 1) }

func TestUnsignalled(t *testing.T) {
	before := blocked(t)
	why := errors.New("why")
	err := unsignalled(func() error {
		got := blocked(t)
		for _, s := range []unix.Signal{unix.SIGURG, unix.SIGHUP, unix.SIGPROF, unix.SIGTERM, 64} {
			if got&bit(s) == 0 {
				t.Errorf("signal %d may come", s)
			}
		}
		for _, s := range []unix.Signal{unix.SIGSEGV, unix.SIGBUS, unix.SIGFPE, 33} {
			if got&bit(s) != 0 {
				t.Errorf("signal %d may not come", s)
			}
		}
		return why
	})
	if err != why {
		t.Errorf("error %v", err)
	}
	if after := blocked(t); after != before {
		t.Errorf("%x are held off before, and %x after", before, after)
	}
}

func TestHoldSignals(t *testing.T) {
	runtime.LockOSThread() // and never unlocked: the thread ends with the goroutine
	if blocked(t)&bit(unix.SIGURG) != 0 {
		t.Fatal("SIGURG may not come from the start")
	}
	holdSignals()
	if blocked(t)&bit(unix.SIGURG) == 0 {
		t.Error("SIGURG may come")
	}
}
