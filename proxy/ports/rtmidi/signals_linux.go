package rtmidi

import (
	"runtime"
	"unsafe"

	"golang.org/x/sys/unix"
)

// Go's runtime interrupts its threads by SIGURG, and the library's reading thread is one of them
// while it calls us. A signal that comes a moment later breaks off ALSA's poll:
// snd_seq_event_input_pending then reports an error, which RtMidi takes for a message, reads, finds
// none, and prints three lines to the standard error. No message is lost by that, as the read does
// not wait and what has come stays for the next; but who prints to a terminal that is held, or to a pipe
// that nobody reads, waits, and what comes in meanwhile is lost once ALSA's room for it is full. So
// signals are held off that thread: from its start by unsignalled, and after its first call of us,
// when the runtime has let SIGURG in again, by holdSignals.

// unsignalled calls f, which starts a thread of the library's, and so makes it one without
// signals: a thread begins with the mask of the one that starts it. Signals of faults stay, which
// the runtime must get, and those that C libraries keep for themselves: 32 to 34 (signal(7) of Linux).
func unsignalled(f func() error) error {
	var all, before unix.Sigset_t
	for s := 1; s <= 64; s++ {
		switch unix.Signal(s) {
		case unix.SIGSEGV, unix.SIGBUS, unix.SIGFPE, unix.SIGILL, unix.SIGTRAP, unix.SIGABRT, unix.SIGSYS, 32, 33, 34:
		default:
			add(&all, unix.Signal(s))
		}
	}
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	if err := unix.PthreadSigmask(unix.SIG_BLOCK, &all, &before); err != nil {
		return f() // it plays all the same
	}
	defer func() { _ = unix.PthreadSigmask(unix.SIG_SETMASK, &before, nil) }() // it was in force a moment ago
	return f()
}

// holdSignals keeps SIGURG off the present thread for good, which is the library's. The runtime can
// still stop our code there at any call of a function.
func holdSignals() {
	var urgent unix.Sigset_t
	add(&urgent, unix.SIGURG)
	_ = unix.PthreadSigmask(unix.SIG_BLOCK, &urgent, nil) // without it, it plays all the same
}

// add adds a signal to a set, whose words differ in size between processors.
func add(set *unix.Sigset_t, s unix.Signal) {
	word := 8 * int(unsafe.Sizeof(set.Val[0]))
	set.Val[(int(s)-1)/word] |= 1 << ((int(s) - 1) % word)
}
