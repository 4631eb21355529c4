package seqtest

import (
	"context"
	_ "embed"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
)

//go:embed run.sh
var runScript []byte

//go:embed watch.sh
var watchScript []byte

// staged is a job laid out as the tree of files that run.sh works on.
type staged struct {
	files    map[string][]byte // path below the job's root, and contents
	binaries map[string]string // path below the job's root, and where it is on this machine
	limit    time.Duration     // all scenarios together, each at its limit
}

// stage lays the job out:
//
//	run.sh watch.sh lib.sh
//	scenarios/list      a line for each: name, limit in seconds
//	scenarios/NAME.sh
//	emulated            0 or 1
//	files/… bin/…       what the job brought, and its commands once they are built
//
// and run.sh adds results/NAME/{began,ended,status,log,out/…}; the first two are uptimes.
func stage(job Job, emulated bool) (*staged, error) {
	if len(job.Scenarios) == 0 {
		return nil, fmt.Errorf("seqtest: a job without scenarios would test nothing: give it one")
	}
	root, err := moduleRoot()
	if err != nil {
		return nil, err
	}
	lib, err := os.ReadFile(filepath.Join(root, "testdata", "vm", "lib.sh"))
	if err != nil {
		return nil, fmt.Errorf("seqtest: read the functions for scripts: %w", err)
	}
	j := &staged{
		files:    map[string][]byte{"run.sh": runScript, "watch.sh": watchScript, "lib.sh": lib, "emulated": []byte("0\n")},
		binaries: map[string]string{},
	}
	if emulated {
		j.files["emulated"] = []byte("1\n")
	}
	var list strings.Builder
	for _, s := range job.Scenarios {
		script := "scenarios/" + s.Name + ".sh"
		if !scenarioName.MatchString(s.Name) {
			return nil, fmt.Errorf("seqtest: scenario name %q: use lower-case letters, digits and hyphens", s.Name)
		}
		if _, twice := j.files[script]; twice {
			return nil, fmt.Errorf("seqtest: two scenarios are called %q: rename one", s.Name)
		}
		limit := limitOf(s)
		j.files[script] = []byte(s.Script)
		j.limit += limit
		fmt.Fprintln(&list, s.Name, int(limit.Seconds()))
	}
	j.files["scenarios/list"] = []byte(list.String())
	for name, data := range job.Files {
		if !fs.ValidPath(name) || name == "." {
			return nil, fmt.Errorf("seqtest: file name %q: use a relative path without dots", name)
		}
		j.files["files/"+name] = data
	}
	return j, nil
}

// build builds the commands into dir/built.
func (j *staged) build(ctx context.Context, commands map[string]string, dir string) error {
	for name, pkg := range commands {
		if path.Base(name) != name || name == ".." {
			return fmt.Errorf("seqtest: command name %q: use a plain name without a directory", name)
		}
		out := filepath.Join(dir, "built", name)
		// Version control is left out: a checkout may belong to another user, and then git refuses.
		cmd := exec.CommandContext(ctx, "go", "build", "-buildvcs=false", "-o", out, pkg)
		if log, err := cmd.CombinedOutput(); err != nil {
			return fmt.Errorf("seqtest: go build %s: %w\n%s", pkg, err, log)
		}
		j.binaries["bin/"+name] = out
	}
	return nil
}

// sortResults splits the files below the results directory by scenario. A scenario
// without a status did not end, and that is an error of the harness.
func sortResults(job Job, files map[string][]byte, emulated bool) (map[string]Result, error) {
	results := map[string]Result{}
	for _, s := range job.Scenarios {
		r := Result{
			Files:    map[string][]byte{},
			Log:      string(files[s.Name+"/log"]),
			Emulated: emulated,
		}
		status, err := strconv.Atoi(strings.TrimSpace(string(files[s.Name+"/status"])))
		if err != nil {
			return nil, fmt.Errorf("seqtest: scenario %s left no status; what came back: %s",
				s.Name, strings.Join(slices.Sorted(maps.Keys(files)), ", "))
		}
		r.Status = status
		began, _ := strconv.ParseFloat(strings.TrimSpace(string(files[s.Name+"/began"])), 64) // 0 where there is none
		ended, _ := strconv.ParseFloat(strings.TrimSpace(string(files[s.Name+"/ended"])), 64)
		r.Took = time.Duration((ended - began) * float64(time.Second))
		for name, data := range files {
			if rest, ok := strings.CutPrefix(name, s.Name+"/out/"); ok {
				r.Files[rest] = data
			}
		}
		results[s.Name] = r
	}
	return results, nil
}
