//go:build cgo && (linux || darwin || windows)

package rtmidi

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
)

// The real library fails, in a process of its own, and prints nothing: what it says can be asked for.
func TestLibraryIsQuiet(t *testing.T) {
	const inside = "SWELLBOX_TEST_NOISE"
	if os.Getenv(inside) != "" {
		lib, err := newLibrary()
		if err != nil {
			t.Fatal(err)
		}
		in, err := lib.newIn("swellbox test")
		if err == nil { // there is a sequencer, but not a port of that number
			err = in.OpenPort(4321, "in")
		}
		if err == nil {
			t.Fatal("the library has no complaint")
		}
		fmt.Printf("said %q\n", said.take(false))
		return
	}
	cmd := exec.Command(os.Args[0], "-test.run=^TestLibraryIsQuiet$", "-test.v")
	cmd.Env = append(os.Environ(), inside+"=1")
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %s%s", err, out, &errs)
	}
	if errs.Len() > 0 {
		t.Errorf("the library prints: %s", &errs)
	}
	if !strings.Contains(string(out), `said ["the MIDI driver says \"Midi`) && !strings.Contains(string(out), `"the MIDI driver says \"snd_seq`) {
		t.Errorf("what the library said is not to be had: %s", out)
	}
}
