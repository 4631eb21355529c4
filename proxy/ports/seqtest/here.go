package seqtest

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"time"
)

// tools are the programs of alsa-utils that scripts may use.
var tools = []string{"aconnect", "aplaymidi", "arecordmidi", "aseqdump"}

// here runs jobs on this machine, in a directory below its temporary one.
type here struct{}

func (here) emulated() bool { return false }

// findHere reports whether this machine has a sequencer that we may use, and the
// programs to use it with.
func findHere() (here, bool) {
	f, err := os.OpenFile("/dev/snd/seq", os.O_RDWR, 0)
	if err != nil {
		return here{}, false
	}
	_ = f.Close() // nothing was written
	for _, tool := range append([]string{"setsid"}, tools...) {
		if _, err := exec.LookPath(tool); err != nil { // setsid, aconnect, aplaymidi, arecordmidi, aseqdump
			return here{}, false
		}
	}
	return here{}, true
}

func (here) run(ctx context.Context, j *staged, dir string) (map[string][]byte, error) {
	root := filepath.Join(dir, "job")
	if err := write(root, j); err != nil {
		return nil, fmt.Errorf("seqtest: lay out the job: %w", err)
	}
	ctx, cancel := context.WithTimeout(ctx, j.limit+time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, "sh", filepath.Join(root, "run.sh"), root)
	cmd.WaitDelay = 5 * time.Second
	if out, err := cmd.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("seqtest: run the scenarios: %w\n%s", err, out)
	}
	return readTree(filepath.Join(root, "results"))
}

// write puts the staged job below root.
func write(root string, j *staged) error {
	for name, data := range j.files {
		if err := writeFile(filepath.Join(root, name), data); err != nil {
			return err
		}
	}
	if err := os.MkdirAll(filepath.Join(root, "bin"), 0o755); err != nil {
		return err
	}
	for name, from := range j.binaries {
		if err := os.Symlink(from, filepath.Join(root, name)); err != nil {
			return err
		}
	}
	return nil
}

func writeFile(name string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return err
	}
	return os.WriteFile(name, data, 0o644)
}

// readTree reads every regular file below dir, by its slash-separated path.
func readTree(dir string) (map[string][]byte, error) {
	files := map[string][]byte{}
	left := int64(resultsLimit)
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return err
		}
		rel, err := filepath.Rel(dir, name)
		if err != nil {
			return err
		}
		f, err := os.Open(name)
		if err != nil {
			return err
		}
		defer f.Close()
		data, err := io.ReadAll(io.LimitReader(f, left+1))
		if left -= int64(len(data)); left < 0 {
			return errTooMuch
		}
		files[filepath.ToSlash(rel)] = data
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("seqtest: read the results: %w", err)
	}
	return files, nil
}
