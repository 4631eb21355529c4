package main

import (
	"errors"
	"flag"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"swellbox/proxy/formats/smf"
	"swellbox/proxy/study/demo"
)

// broken is a file whose first note has a velocity of 255, at byte 25.
const broken = "MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60" + "MTrk\x00\x00\x00\x08" + "\x00\x90\x3C\xFF" + "\x00\xFF\x2F\x00"

var update = flag.Bool("update", false, "write what is printed into the scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"swellbox": main})
}

// The command line as it is typed, in testdata/script: what is printed, and with which
// status it ends. With -update the scripts take what is printed.
func TestScripts(t *testing.T) { runScripts(t, "script") }

// Those in testdata/sharing work passwords into keys, which the race detector makes some fifty times slower.
func TestManyRoundsOfSharing(t *testing.T) { runScripts(t, "sharing") }

func runScripts(t *testing.T, folder string) {
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", folder),
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       *update,
		Setup: func(env *testscript.Env) error {
			for name, folder := range map[string]string{"HOME": "user", "XDG_CONFIG_HOME": "user", "XDG_CACHE_HOME": "cache", "XDG_RUNTIME_DIR": "run"} {
				env.Setenv(name, filepath.Join(env.WorkDir, folder))
			}
			env.Setenv("LC_ALL", "C.UTF-8")
			return writeScriptFiles(env.WorkDir)
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"status": checkStatus, "free-address": freeAddress, "answers": answers},
	})
}

// writeScriptFiles writes what a script has beside what stands in it: raw.mid is the
// duet, score.mid the built-in score, broken.mid has a velocity of 255 at byte 25.
func writeScriptFiles(folder string) error {
	return errors.Join(
		smf.WriteFile(filepath.Join(folder, "raw.mid"), duet()),
		smf.WriteFile(filepath.Join(folder, "score.mid"), demo.Score()),
		smf.WriteFile(filepath.Join(folder, "empty.mid"), &smf.File{Division: smf.Division{TicksPerQuarter: 480}, Tracks: []smf.Track{{}}}),
		os.WriteFile(filepath.Join(folder, "broken.mid"), []byte(broken), 0o644),
	)
}

// checkStatus is the script's command "status N COMMAND…": the command ends with that
// status, and one that fails prints nothing but its error.
func checkStatus(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N COMMAND…")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	var exit *exec.ExitError
	if err := ts.Exec(args[1], args[2:]...); errors.As(err, &exit) {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("%q: status %d, want %d", args[1:], got, want)
	}
	if out := ts.ReadFile("stdout"); got != 0 && out != "" {
		ts.Fatalf("%q fails and prints %q", args[1:], out)
	}
}

// freeAddress is the script's command that sets ADDRESS to one of this computer on which nobody listens.
func freeAddress(ts *testscript.TestScript, neg bool, args []string) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	ts.Check(err)
	ts.Setenv("ADDRESS", l.Addr().String())
	ts.Check(l.Close())
}

// answers is the script's command that waits until somebody listens on an address.
func answers(ts *testscript.TestScript, neg bool, args []string) {
	for end := time.Now().Add(patience); ; time.Sleep(10 * time.Millisecond) { // another program is to begin
		c, err := net.Dial("tcp", args[0])
		if err == nil {
			ts.Check(c.Close())
			return
		}
		if time.Now().After(end) {
			ts.Fatalf("nobody listens on %s: %v", args[0], err)
		}
	}
}
