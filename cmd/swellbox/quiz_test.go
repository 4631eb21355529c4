package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/proxy/formats/smf"
)

// quiz runs the command with what is typed.
func (d *desktop) quiz(typed string, args ...string) (status int, out, errs string) {
	d.t.Helper()
	var o, e bytes.Buffer
	p := &program.Program{Output: tell.Output{Out: &o, Err: &e}}
	root := rootCommand(p)
	root.SetIn(strings.NewReader(typed))
	root.SetOut(&o)
	root.SetErr(&e)
	root.SetArgs(append([]string{"quiz"}, args...))
	if err := root.ExecuteContext(context.Background()); err != nil {
		fmt.Fprintf(&e, "swellbox: %v\n", err)
		return 1, o.String(), e.String()
	}
	return 0, o.String(), e.String()
}

// trio writes trio.mid, three parts of long notes of which every skill can ask.
func (d *desktop) trio() {
	d.t.Helper()
	f := &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: 480}}
	for channel, name := range []string{"Violin", "Oboe", "Trumpet"} {
		t := smf.Track{End: 4 * 1920, Events: []smf.Event{{Data: append([]byte{0xFF, smf.MetaTrackName}, name...)}}}
		for i, key := range []byte{67, 69, 71, 72} {
			tick := int64(i) * 1920
			t.Events = append(t.Events,
				smf.Event{Tick: tick, Data: []byte{0x90 | byte(channel), key, 96}},
				smf.Event{Tick: tick + 1900, Data: []byte{0x80 | byte(channel), key, 0}})
		}
		f.Tracks = append(f.Tracks, t)
	}
	if err := smf.WriteFile(filepath.Join(d.dir, "trio.mid"), f); err != nil {
		d.t.Fatal(err)
	}
}

// kept is the record as it stands on the disk.
func (d *desktop) kept() map[string]int {
	d.t.Helper()
	var record struct {
		Version int `json:"swellbox_quiz"`
		Skills  map[string][]struct{ Answers []struct{ Right bool } }
	}
	if err := json.Unmarshal([]byte(d.read("user/swellbox/quiz.json")), &record); err != nil {
		d.t.Fatal(err)
	}
	if record.Version != 1 {
		d.t.Errorf("the record has version %d", record.Version)
	}
	answers := map[string]int{}
	for skill, runs := range record.Skills {
		for _, run := range runs {
			answers[skill] += len(run.Answers)
		}
	}
	return answers
}

// A session as it is typed: answers, words that mean something and one that does not.
func TestQuizSession(t *testing.T) {
	d := atDesktop(t)
	d.trio()
	status, out, errs := d.quiz("a\nwhat?\n B \nagain\nskip\na\nquit\nnever read\n", "trio.mid", "--seed", "1", "-o", "takes")
	if status != 0 || errs != "" {
		t.Fatalf("status %d, %s", status, errs)
	}
	for what, want := range map[string]int{
		`(?m)^Question \d`:                        6, // of which one is asked again
		`(?m)a, b, again, skip or quit\? `:        7,
		`(Yes|No)\. (A|B|In [AB]) [^?]*\.\n[A-Z]`: 3, // each with an explanation and a hint
		`"what\?" is no answer`:                   1,
		`takes/A\.wav`:                            1,
		`Start quiet`:                             1,
		`-23 LKFS`:                                1,
		`\d of 3 answers right`:                   1,
	} {
		if got := len(regexp.MustCompile(what).FindAllString(out, -1)); got != want {
			t.Errorf("%q is there %d times, want %d, in\n%s", what, got, want, out)
		}
	}
	if got := d.kept(); fmt.Sprint(got) != "map[balance:1 shaping:1 vibrato:1]" {
		t.Errorf("kept %v", got)
	}
	a, b := readWAV(t, d.read("takes/A.wav")), readWAV(t, d.read("takes/B.wav"))
	if a.frames != b.frames || a.frames > 6*a.rate || a.peak > -1 || b.peak > -1 {
		t.Errorf("takes %+v and %+v, want as long, 6 s at most, and peaks under -1 dBFS", a, b)
	}

	// The record says what was said.
	if right := strings.Count(out, "Yes. "); !strings.Contains(out, fmt.Sprintf("%d of 3 answers right", right)) {
		t.Errorf("%d answers were right, in\n%s", right, out)
	}

	// The next session goes on, and the end of what is typed ends it.
	if status, out, errs = d.quiz("a\n", "trio.mid", "--skill", "vibrato", "--seed", "2"); status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	if got := d.kept(); got["vibrato"] != 2 {
		t.Errorf("kept %v, want a second answer about vibrato, in\n%s", got, out)
	}
	status, out, errs = d.quiz("", "--progress")
	if status != 0 || !strings.Contains(out, "vibrato: hear how wide") || !strings.Contains(out, "next threshold: 2") {
		t.Errorf("status %d, progress %s%s", status, out, errs)
	}
}

// One seed is one session, and it is not the other's.
func TestQuizSeed(t *testing.T) {
	d := atDesktop(t)
	d.trio()
	session := func(seed string) string {
		os.Remove(filepath.Join(d.dir, "user/swellbox/quiz.json"))
		_, out, _ := d.quiz("a\na\na\n", "trio.mid", "--seed", seed, "--questions", "3")
		return out
	}
	one := session("1")
	if again := session("1"); again != one {
		t.Errorf("one seed gives two sessions:\n%s\n%s", one, again)
	}
	if session("2") == one && session("3") == one {
		t.Error("three seeds give one session")
	}
}

func TestQuizInJSON(t *testing.T) {
	d := atDesktop(t)
	d.trio()
	status, out, errs := d.quiz("a\nskip\nb\n", "trio.mid", "--skill", "swell", "--questions", "3", "--json")
	if status != 0 || !strings.Contains(errs, "Question 3") {
		t.Fatalf("status %d, %s", status, errs)
	}
	var summary struct {
		Answers []struct {
			Skill, Unit string
			Amount      float64
			Right       *bool
		}
		Progress []struct {
			Skill string
			Open  int `json:"open_answers"`
		}
	}
	if err := json.Unmarshal([]byte(out), &summary); err != nil {
		t.Fatalf("%v in %s", err, out)
	}
	if len(summary.Answers) != 2 || summary.Answers[0].Amount != 9 || summary.Answers[0].Unit != "dB" || summary.Answers[1].Right == nil {
		t.Errorf("answers %+v", summary.Answers)
	}
	if len(summary.Progress) != 1 || summary.Progress[0].Open != 2 {
		t.Errorf("progress %+v", summary.Progress)
	}
	if status, out, errs = d.quiz("", "--progress", "--json"); status != 0 || !strings.Contains(out, `"skill": "swell"`) {
		t.Errorf("status %d, %s%s", status, out, errs)
	}
}

// A signal in the middle of a question ends the session and keeps its answers.
func TestQuizInterrupted(t *testing.T) {
	d := atDesktop(t)
	d.trio()
	ctx, interrupt := context.WithCancel(context.Background())
	typed, keyboard := io.Pipe()
	screen, out := io.Pipe()
	defer interrupt()
	defer keyboard.Close()
	p := &program.Program{Output: tell.Output{Out: out, Err: io.Discard}}
	root := rootCommand(p)
	root.SetIn(typed)
	root.SetOut(out)
	root.SetErr(io.Discard)
	root.SetArgs([]string{"quiz", "trio.mid", "--skill", "vibrato", "--seed", "1"})
	ended := make(chan error, 1)
	go func() {
		ended <- root.ExecuteContext(ctx)
		out.Close()
	}()
	lines := bufio.NewScanner(screen)
	for lines.Scan() {
		switch line := lines.Text(); {
		case strings.HasPrefix(line, "Question 1,"):
			go io.WriteString(keyboard, "a\n") // the prompt that follows has no reader yet
		case strings.HasPrefix(line, "Question 2,"):
			interrupt()
		}
	}
	if err := <-ended; err != nil {
		t.Errorf("ended with %v", err)
	}
	if got := d.kept(); got["vibrato"] != 1 {
		t.Errorf("kept %v, want the one answer", got)
	}
}

// A damaged record is set aside, with a warning, and the session goes on.
func TestQuizWithADamagedRecord(t *testing.T) {
	d := atDesktop(t)
	d.trio()
	d.file("user/swellbox/quiz.json", "torn")
	status, _, errs := d.quiz("a\n", "trio.mid", "--skill", "swell")
	if status != 0 || !strings.Contains(errs, "warning: the record of the quiz is damaged") || d.read("user/swellbox/quiz.json.damaged-1") != "torn" {
		t.Errorf("status %d, %s", status, errs)
	}
	if got := d.kept(); got["swell"] != 1 {
		t.Errorf("kept %v", got)
	}
}

func TestQuizRefusals(t *testing.T) {
	for name, c := range map[string]struct {
		args  string
		words []string
	}{
		"an unknown skill":     {"trio.mid --skill pitch", []string{`no skill pitch`, "vibrato"}},
		"a skill in vain":      {"duet.mid --skill vibrato", []string{"asked about vibrato"}},
		"nothing to ask":       {"lonely.mid", []string{"nothing in this score"}},
		"two files":            {"trio.mid trio.mid", []string{"at most one MIDI file", "found 2"}},
		"no file":              {"none.mid", []string{"none.mid"}},
		"a broken file":        {"broken.mid", []string{"broken.mid: byte 25"}},
		"progress of a file":   {"--progress trio.mid", []string{"--progress"}},
		"fewer than none":      {"--questions -1", []string{"--questions is -1"}},
		"takes into a file":    {"trio.mid -o broken.mid", []string{"broken.mid"}},
		"a record from newer":  {"trio.mid --home newer", []string{"quiz.json", "version 7"}},
		"a record in no place": {"trio.mid --home broken.mid", []string{"broken.mid"}},
	} {
		t.Run(name, func(t *testing.T) {
			d := atDesktop(t)
			d.trio()
			d.duet()
			if err := os.Rename("raw.mid", "duet.mid"); err != nil { // two short notes in each part
				t.Fatal(err)
			}
			d.file("broken.mid", broken)
			d.file("newer/quiz.json", `{"swellbox_quiz": 7}`)
			empty := &smf.File{Division: smf.Division{TicksPerQuarter: 480}, Tracks: []smf.Track{{}}}
			if err := smf.WriteFile("lonely.mid", empty); err != nil {
				t.Fatal(err)
			}
			status, _, errs := d.quiz("a\n", strings.Fields(c.args)...)
			if status == 0 || strings.Count(errs, "\n") != 1 {
				t.Errorf("status %d, want one line, got %q", status, errs)
			}
			for _, w := range c.words {
				if !strings.Contains(errs, w) {
					t.Errorf("%q does not say %q", errs, w)
				}
			}
		})
	}
}

// A record that cannot be kept is said before the first question, not after it.
func TestQuizInAReadOnlyHome(t *testing.T) {
	if runtime.GOOS == "windows" || os.Geteuid() == 0 {
		t.Skip("no folder is read-only for this user")
	}
	d := atDesktop(t)
	d.trio()
	d.file("closed/inside", "")
	if err := os.Chmod("closed", 0o555); err != nil {
		t.Fatal(err)
	}
	defer os.Chmod("closed", 0o755) // or it could not be removed
	status, out, errs := d.quiz("a\n", "trio.mid", "--home", "closed")
	if status == 0 || strings.Contains(out, "Question 1") || !strings.Contains(errs, "choose a folder that you may write to") {
		t.Errorf("status %d, %s%s", status, out, errs)
	}
}

func TestQuizHelp(t *testing.T) {
	d := atDesktop(t)
	help := d.must("quiz", "--help")
	for _, want := range []string{"swellbox quiz [RAW.mid]", "vibrato", "balance", "hall", "--progress", "-o, --out FOLDER", "Start quiet"} {
		if !strings.Contains(help, want) {
			t.Errorf("the help does not say %q", want)
		}
	}
	if out := d.must("quiz", "--progress"); !strings.Contains(out, "swellbox quiz") {
		t.Errorf("progress before the first answer: %q", out)
	}
}
