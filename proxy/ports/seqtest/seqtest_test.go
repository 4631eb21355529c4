package seqtest

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
)

// scale is a Standard MIDI File of format 0, 96 ticks a quarter at the default 120
// quarters a minute: five notes C4 to G4, 24 ticks (125 ms) each, on channel 1,
// velocities 60 to 64, each ended by a note-off of velocity 33.
var scale = []byte("MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60" +
	"MTrk\x00\x00\x00\x2c" +
	"\x00\x90\x3c\x3c" + "\x18\x80\x3c\x21" +
	"\x00\x90\x3e\x3d" + "\x18\x80\x3e\x21" +
	"\x00\x90\x40\x3e" + "\x18\x80\x40\x21" +
	"\x00\x90\x41\x3f" + "\x18\x80\x41\x21" +
	"\x00\x90\x43\x40" + "\x18\x80\x43\x21" +
	"\x00\xff\x2f\x00")

// scaleHeard is the same in the words of aseqdump, without its spacing.
var scaleHeard = []string{
	"Note on 0, note 60, velocity 60", "Note off 0, note 60, velocity 33",
	"Note on 0, note 62, velocity 61", "Note off 0, note 62, velocity 33",
	"Note on 0, note 64, velocity 62", "Note off 0, note 64, velocity 33",
	"Note on 0, note 65, velocity 63", "Note off 0, note 65, velocity 33",
	"Note on 0, note 67, velocity 64", "Note off 0, note 67, velocity 33",
}

var noteLine = regexp.MustCompile(`Note (?:on|off)\s.*`)

// heard takes the notes out of what aseqdump printed.
func heard(dump []byte) []string {
	var notes []string
	for _, line := range noteLine.FindAllString(string(dump), -1) {
		notes = append(notes, strings.Join(strings.Fields(line), " "))
	}
	return notes
}

// noise is 100 kB of every byte there is: what a terminal would spoil on the way.
func noise() []byte {
	b := make([]byte, 100_000)
	_, _ = rand.NewChaCha8([32]byte{'n'}).Read(b) // never fails, by its documentation
	return b
}

func harnessJob() Job {
	noise := noise()
	return Job{
		Files:    map[string][]byte{"scale.mid": scale, "deep/er/noise": noise},
		Commands: map[string]string{"cgo-program": "./testdata/cgo"},
		Scenarios: []Scenario{
			{
				Name: "notes-arrive",
				Script: `
					. "$LIB"
					through=$(wait_port 'Midi Through Port-0')
					listen heard "$through"
					aplaymidi -d 0 -p "$through" "$FILES/scale.mid"
					wait_lines 5 "$OUT/heard.txt" 'Note off'
					stop heard`,
				Check: func(t *testing.T, r Result) {
					if got := heard(r.Files["heard.txt"]); !slices.Equal(got, scaleHeard) {
						t.Errorf("heard\n%s\nwant\n%s\n%s", strings.Join(got, "\n"), strings.Join(scaleHeard, "\n"), r.Log)
					}
				},
			},
			{
				// What was recorded is played again: it must sound as the first time.
				Name: "recording-plays",
				Script: `
					. "$LIB"
					through=$(wait_port 'Midi Through Port-0' 'Midi Through')
					record take "$through"
					listen first "$through"
					aplaymidi -d 0 -p "$through" "$FILES/scale.mid"
					wait_lines 5 "$OUT/first.txt" 'Note off'
					stop first
					stop take
					listen second "$through"
					aplaymidi -d 0 -p "$through" "$OUT/take.mid"
					wait_lines 5 "$OUT/second.txt" 'Note off'`,
				Check: func(t *testing.T, r Result) {
					if got := heard(r.Files["second.txt"]); !slices.Equal(got, scaleHeard) {
						t.Errorf("heard\n%s\nwant\n%s\n%s", strings.Join(got, "\n"), strings.Join(scaleHeard, "\n"), r.Log)
					}
				},
			},
			{
				Name:   "bytes-come-back",
				Script: `mkdir "$OUT/a b"; cp "$FILES/deep/er/noise" "$OUT/a b/noise"; : >"$OUT/empty"; sha256sum <"$OUT/a b/noise"`,
				Check: func(t *testing.T, r Result) {
					if !bytes.Equal(r.Files["a b/noise"], noise) {
						t.Errorf("%d bytes came back, not the %d sent; there: %s", len(r.Files["a b/noise"]), len(noise), r.Log)
					}
					if b, ok := r.Files["empty"]; !ok || len(b) > 0 {
						t.Errorf("the empty file came back as %q (%v)", b, ok)
					}
				},
			},
			{
				Name:   "shared-libraries",
				Script: `cgo-program`,
				Check: func(t *testing.T, r Result) {
					// ALSA gives programs client numbers from 128 (SNDRV_SEQ_DYNAMIC_CLIENTS_BEGIN).
					if !regexp.MustCompile(`^client 1[2-9][0-9]\n$`).MatchString(r.Log) {
						t.Errorf("the program printed %q, want its client number", r.Log)
					}
				},
			},
			{
				Name: "leaves-a-listener",
				Script: `
					. "$LIB"
					listen left "$(wait_port 'Midi Through Port-0')"
					find_port aseqdump >/dev/null`,
			},
			{
				Name: "finds-none",
				Script: `
					. "$LIB"
					TRIES=1 wait_no_port aseqdump`,
			},
			{
				Name:   "clock-is-known",
				Script: `echo "$EMULATED"; grep -m 1 'model name' /proc/cpuinfo; cat /sys/devices/system/clocksource/*/available_clocksource`,
				Check:  checkClock,
			},
		},
	}
}

// checkClock holds the harness's word on emulation against what the machine says of
// itself: the processor is QEMU's, and the clock of a hardware-accelerated guest
// (kvm-clock) is absent. Were that to change, NeedRealTime would guard nothing.
func checkClock(t *testing.T, r Result) {
	said, machine, _ := strings.Cut(r.Log, "\n")
	if want := map[bool]string{true: "1", false: "0"}[r.Emulated]; said != want {
		t.Errorf("$EMULATED is %q, want %q", said, want)
	}
	if r.Emulated && (!strings.Contains(machine, "QEMU") || strings.Contains(machine, "kvm")) {
		t.Errorf("this does not look like full emulation:\n%s", machine)
	}
	var rec recorder
	rec.do(func() { r.NeedRealTime(&rec) })
	if rec.skipped != r.Emulated {
		t.Errorf("NeedRealTime skipped: %v; emulated: %v", rec.skipped, r.Emulated)
	}
}

// recorder stands in for a test and notes how it ends.
type recorder struct {
	testing.TB
	skipped, failed bool
	message         string
}

func (*recorder) Helper() {}

func (r *recorder) Skip(args ...any) { r.skipped = true; r.end(args) }

func (r *recorder) Fatal(args ...any) { r.failed = true; r.end(args) }

func (r *recorder) end(args []any) {
	r.message = fmt.Sprint(args...)
	runtime.Goexit()
}

// do calls f as a test would be: on a goroutine that Skip and Fatal may end.
func (r *recorder) do(f func()) {
	done := make(chan struct{})
	go func() {
		defer close(done)
		f()
	}()
	<-done
}

func TestUnavailable(t *testing.T) {
	for _, ci := range []string{"", "true"} {
		t.Setenv("CI", ci)
		var rec recorder
		rec.do(func() { unavailable(&rec, []string{"qemu-system-x86_64 (package qemu-system-x86)"}) })
		if rec.failed != (ci != "") || rec.skipped == rec.failed {
			t.Errorf("CI=%q: failed %v, skipped %v", ci, rec.failed, rec.skipped)
		}
		for _, want := range []string{"NOT TESTED", "qemu-system-x86_64", "make deps"} {
			if !strings.Contains(rec.message, want) {
				t.Errorf("CI=%q: the message does not say %q:\n%s", ci, want, rec.message)
			}
		}
	}
}
