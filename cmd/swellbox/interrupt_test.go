package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/tell"
)

const stopped = "swellbox: stopped by Ctrl-C; no half-written file is left\n"

// A real Ctrl-C, in the middle of what takes its time: one sentence, status 130, and
// nothing half-written.
func TestCtrlC(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("a process cannot send another one Ctrl-C here")
	}
	for name, c := range map[string]struct{ args, first string }{
		"demo, in JSON":  {"demo --json", `{"progress":"playing raw"}`},
		"each habit":     {"demo --each-habit --json", `{"progress":"playing raw"}`},
		"a long balance": {"balance long.mid", "hearing bars"},
	} {
		t.Run(name, func(t *testing.T) {
			d := atDesktop(t)
			d.long(2 * longPiece)
			cmd := exec.Command("swellbox", strings.Fields(c.args)...)
			errs, err := cmd.StderrPipe()
			if err != nil {
				t.Fatal(err)
			}
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			giveUp := time.AfterFunc(patience, func() { cmd.Process.Kill() }) // a limit that only a hang meets
			defer giveUp.Stop()
			lines := bufio.NewReader(errs)
			if line, err := lines.ReadString('\n'); strings.TrimSpace(line) != c.first {
				t.Errorf("it begins with %q (%v), want %s", line, err, c.first)
			}
			if err := cmd.Process.Signal(os.Interrupt); err != nil {
				t.Fatal(err)
			}
			rest, err := io.ReadAll(lines)
			if err != nil {
				t.Fatal(err)
			}
			cmd.Wait()
			if status := cmd.ProcessState.ExitCode(); status != statusInterrupted {
				t.Errorf("status %d, want %d: %s", status, statusInterrupted, rest)
			}
			if strings.HasSuffix(c.args, "--json") {
				var said struct {
					Error  string
					Status int
				}
				if err := json.Unmarshal(rest, &said); err != nil || said.Status != statusInterrupted || !strings.Contains(said.Error, "Ctrl-C") {
					t.Errorf("said %s, %v", rest, err)
				}
			} else if string(rest) != stopped {
				t.Errorf("said %q", rest)
			}
			left, err := filepath.Glob("demo/*")
			if err != nil || len(left) > 1 || len(left) == 1 && filepath.Base(left[0]) != "raw.mid" {
				t.Errorf("left are %v (%v)", left, err)
			}
		})
	}
}

// interrupted runs a command whose context ends as soon as it writes a first line.
func (d *desktop) interrupted(args ...string) (status int, errs string) {
	d.t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	out := &firstLine{then: cancel}
	p := &program.Program{Output: tell.Output{Out: io.Discard, Err: out}}
	status = run(ctx, p, args)
	return status, out.all.String()
}

// firstLine calls then when it has been written to.
type firstLine struct {
	all  bytes.Buffer
	then func()
}

func (w *firstLine) Write(b []byte) (int, error) {
	w.then()
	return w.all.Write(b)
}

func TestInterrupted(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	if status, errs := d.interrupted("demo", "-o", "out"); status != statusInterrupted || errs != "playing raw\n"+stopped {
		t.Errorf("demo: status %d, %q", status, errs)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var errs bytes.Buffer
	p := &program.Program{Output: tell.Output{Out: io.Discard, Err: &errs}}
	if status := run(ctx, p, []string{"render", "raw.mid", "-o", "x.mid"}); status != statusInterrupted || errs.String() != stopped || exists(t, "x.mid") {
		t.Errorf("render: status %d, %q", status, &errs)
	}
}

// What cannot be interrupted is left alone after a while.
func TestInterruptedWhileReading(t *testing.T) {
	d := atDesktop(t)
	ctx, cancel := context.WithCancel(context.Background())
	typed, keyboard := io.Pipe() // on which nobody types
	defer keyboard.Close()
	var errs bytes.Buffer
	p := &program.Program{Output: tell.Output{Out: io.Discard, Err: &errs, In: asking{typed, cancel}}, Settings: settings.Settings{}}
	if status := run(ctx, p, []string{"profile", "trust", "new-key", "--password-file", "-"}); status != statusInterrupted || errs.String() != stopped {
		t.Errorf("status %d, %q", status, &errs)
	}
	if exists(t, filepath.Join(d.dir, "user", "swellbox", "swellbox.key")) {
		t.Error("there is a key all the same")
	}
}

// asking is a reader that ends the context when it is read from.
type asking struct {
	io.Reader
	then func()
}

func (a asking) Read(b []byte) (int, error) {
	a.then()
	return a.Reader.Read(b)
}
