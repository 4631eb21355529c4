// Package seqtest runs shell scripts next to a real ALSA sequencer, from go test.
//
// [Run] takes a [Job]: scripts, the files and programs they need, and for each
// script a check of what it left behind. Where the machine has a sequencer of its
// own (/dev/snd/seq can be opened) the scripts run right there. Elsewhere they run
// inside a virtual machine that boots Debian's kernel under full emulation: no
// root, no network, about ten seconds. One Run is one boot, so put all scenarios of
// a test into one job.
//
// A script is run by sh -eu, in an empty directory that is also $HOME and
// $XDG_RUNTIME_DIR. It finds Job.Files below $FILES, Job.Commands below $BIN (and
// on $PATH), the functions of testdata/vm/lib.sh in $LIB, and leaves what the check
// shall see below $OUT. $EMULATED is 1 in the virtual machine and 0 outside. When
// the script ends, by itself or at its limit, all that it started is killed.
//
// A scenario of the daemon looks like this:
//
//	seqtest.Run(t, seqtest.Job{
//		Commands: map[string]string{"swellbox": "swellbox/cmd/swellbox"},
//		Files:    map[string][]byte{"scale.mid": scale},
//		Scenarios: []seqtest.Scenario{{
//			Name: "raw-passes-all",
//			Script: `
//				. "$LIB"
//				start live swellbox live --inputs 1 --outputs 1
//				in=$(wait_port 'swellbox in 1')
//				out=$(wait_port 'swellbox out 1')
//				listen heard "$out"
//				swellbox switch raw
//				aplaymidi -p "$in" "$FILES/scale.mid"
//				wait_lines 8 "$OUT/heard.txt" 'Note on'
//				swellbox status --json >"$OUT/status.json"
//				stop live
//			`,
//			Check: func(t *testing.T, r seqtest.Result) {
//				if n := bytes.Count(r.Files["heard.txt"], []byte("Note off")); n != 8 {
//					t.Errorf("%d note-offs, want 8\n%s", n, r.Log)
//				}
//			},
//		}},
//	})
//
// Times inside the virtual machine are emulated: the processor is a program. Never
// hold one against a bound in milliseconds. Only ratios of two times from the same
// run mean anything there; [Result.NeedRealTime] guards a check that needs more.
package seqtest

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// Job is what one boot does.
type Job struct {
	// Files are put below $FILES; a name may have directories in it.
	Files map[string][]byte
	// Commands are built and put below $BIN: the name there, and the import path or
	// ./directory of the main package. The shared libraries they need go with them.
	Commands map[string]string
	// Scenarios run one after another.
	Scenarios []Scenario
}

// Scenario is one script and the check of what it did.
type Scenario struct {
	// Name is the name of the subtest: lower-case letters, digits and hyphens.
	Name string
	// Script is run by sh -eu. A status other than 0 fails the subtest.
	Script string
	// Limit is how long the script may take, in whole seconds; 0 means 5 min.
	Limit time.Duration
	// Check is called after a script that ended with status 0. It may be nil.
	Check func(t *testing.T, r Result)
}

// defaultLimit is what only a hang meets: a script takes some seconds on an idle machine, but
// emulation is slow, and the processors are shared with other tests.
const defaultLimit = 5 * time.Minute

// Result is what a script left behind.
type Result struct {
	// Files are the regular files below $OUT, by their slash-separated path.
	Files map[string][]byte
	// Log is what the script printed, standard output and error together.
	Log string
	// Status is the script's exit status: 0, or it never comes to a check.
	Status int
	// Took is how long the script ran, by the clock of where it ran; 0 if that has no /proc/uptime.
	Took time.Duration
	// Emulated says that a virtual machine ran the script.
	Emulated bool
}

// NeedRealTime skips a check that compares times with anything but each other
// when the clock that took them was emulated.
func (r Result) NeedRealTime(t testing.TB) {
	t.Helper()
	if r.Emulated {
		t.Skip("times inside the virtual machine are emulated: only their ratios mean anything")
	}
}

// complaints are what the programs started by lib.sh wrote to their standard error,
// which goes to files ending in .err.
func (r Result) complaints() (s string) {
	for _, name := range slices.Sorted(maps.Keys(r.Files)) {
		if data := r.Files[name]; strings.HasSuffix(name, ".err") && len(data) > 0 {
			s += fmt.Sprintf("--- %s\n%s", name, data)
		}
	}
	return s
}

// place is somewhere with a sequencer that can run a staged job.
type place interface {
	// run runs the job, with dir for its own files, and returns all files below the
	// job's results directory.
	run(ctx context.Context, j *staged, dir string) (map[string][]byte, error)
	emulated() bool
}

// Run runs the job and gives every scenario a subtest of its own. Where neither a
// sequencer nor a virtual machine can be had it skips the test and says what to
// install; with CI set in the environment it fails instead. With -short it skips.
func Run(t *testing.T, job Job) {
	t.Helper()
	if testing.Short() {
		t.Skip("a boot takes ten seconds: skipped by -short")
	}
	p, missing := choose()
	if p == nil {
		unavailable(t, missing)
	}
	results, err := runAt(t.Context(), p, job)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range job.Scenarios {
		t.Run(s.Name, func(t *testing.T) {
			r := results[s.Name]
			t.Logf("the script took %v", r.Took)
			if r.Status != 0 {
				t.Fatalf("the script ended with status %d\n%s%s", r.Status, r.Log, r.complaints())
			}
			if s.Check != nil {
				s.Check(t, r)
			}
		})
	}
}

// choose prefers a sequencer of this machine. Without one, and without what a
// virtual machine takes, it returns what is missing.
func choose() (place, []string) {
	if h, ok := findHere(); ok {
		return h, nil
	}
	m, missing := findMachine()
	if len(missing) > 0 {
		return nil, missing
	}
	return m, nil
}

// unavailable ends the test: skipped at a desk, failed where CI is set, because a
// check that quietly did not run would count as passed there.
func unavailable(t testing.TB, missing []string) {
	t.Helper()
	message := fmt.Sprintf(`
======================================================================
NOT TESTED: the real ALSA sequencer. /dev/snd/seq cannot be opened, and
a virtual machine to run one cannot be had. Missing:
%s
On Linux, "make deps" installs this. Then repeat the test.
======================================================================`, bullets(missing))
	if os.Getenv("CI") != "" {
		t.Fatal(message)
	}
	t.Skip(message)
}

func bullets(lines []string) (s string) {
	for _, l := range lines {
		s += "  - " + l + "\n"
	}
	return s
}

// runAt runs the job at a place and sorts what came back by scenario.
func runAt(ctx context.Context, p place, job Job) (_ map[string]Result, err error) {
	// Not the test's own temporary directory: its name is long, and the path of a
	// socket below $XDG_RUNTIME_DIR may have 107 bytes (unix(7)).
	dir, err := os.MkdirTemp("", "seqtest")
	if err != nil {
		return nil, fmt.Errorf("seqtest: %w", err)
	}
	defer func() {
		if e := os.RemoveAll(dir); err == nil && e != nil {
			err = fmt.Errorf("seqtest: %w", e)
		}
	}()
	j, err := stage(job, p.emulated())
	if err != nil {
		return nil, err
	}
	if err := j.build(ctx, job.Commands, dir); err != nil {
		return nil, err
	}
	files, err := p.run(ctx, j, dir)
	if err != nil {
		return nil, err
	}
	return sortResults(job, files, p.emulated())
}

var scenarioName = regexp.MustCompile(`^[a-z0-9][a-z0-9-]*$`)

// limitOf is the scenario's limit, rounded up to the whole seconds that sleep(1) of POSIX knows.
func limitOf(s Scenario) time.Duration {
	d := cmp.Or(s.Limit, defaultLimit)
	return (d + time.Second - 1).Truncate(time.Second)
}

// moduleRoot is the directory of go.mod, found from where go test runs the package.
func moduleRoot() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", fmt.Errorf("seqtest: find the module: %w", err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", fmt.Errorf("seqtest: no go.mod above the working directory: run the test with go test")
		}
		dir = up
	}
}
