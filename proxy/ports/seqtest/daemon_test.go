package seqtest

import (
	"bytes"
	"encoding/json"
	"maps"
	"strings"
	"testing"

	"swellbox/proxy/live"
	"swellbox/proxy/ports"
)

// TestSequencer runs the scenarios of this package and those of the whole program next to the real
// sequencer, in one boot.
func TestSequencer(t *testing.T) {
	job, daemon := harnessJob(), daemonJob(t)
	maps.Copy(job.Files, daemon.Files)
	maps.Copy(job.Commands, daemon.Commands)
	job.Scenarios = append(job.Scenarios, daemon.Scenarios...)
	Run(t, job)
}

// daemonJob is the whole program.
func daemonJob(t *testing.T) Job {
	return Job{
		Commands: map[string]string{"swellbox": "swellbox/cmd/swellbox", "tap": "./testdata/tap"},
		Files: map[string][]byte{
			"passage-0.mid": passageFile(t, 0),
			"passage-1.mid": passageFile(t, 1),
			"wire":          []byte(wireScript()),
			"burst":         []byte(burstScript()),
			"crowd.mid":     crowdFile(t),
			"duet":          []byte(duetScript()),
			"flood":         []byte(floodScript()),
			"chord":         []byte(chordScript()),
			"setup":         []byte(setupScript()),
			"again":         []byte(againScript()),
			"bar.mid":       barFile(t),
			"melody.mid":    melodyFile(t),
			"melody":        []byte(melodyScript()),
			"tried":         []byte(triedScript()),
		},
		Scenarios: []Scenario{
			shapesAsRendered(), passesAll(), takesBursts(), takesCrowds(),
			switches(), endsOn("TERM"), endsOn("INT"),
			listenerReturns(), playerReturns(), senderLeaves(), keyboardReturns(), playerHangs(), playsLoop(), isSteered(), looksAhead(),
			driverConforms(), survivesChurn(), isSignalled(), saysWhatWasLost(),
		},
	}
}

// readStatus reads a status strictly: a field that live.Status has not is an error.
func readStatus(t *testing.T, r Result, name string) live.Status {
	t.Helper()
	var s live.Status
	dec := json.NewDecoder(bytes.NewReader(r.Files[name]))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&s); err != nil {
		t.Fatalf("%s: %v\n%s\n%s", name, err, r.Files[name], r.Log)
	}
	return s
}

// chordScript holds a chord on one channel and a note on another, with the pedal
// down, until its sender is stopped.
func chordScript() string {
	return line(0, 0, 0xC0, 0) + line(0, 0, 0xC1, 40) + line(0, 0, 0xB0, 64, 127) +
		line(50, 0, 0x90, 60, 80) + line(50, 0, 0x90, 64, 80) + line(50, 0, 0x90, 67, 80) + line(50, 0, 0x91, 76, 90) + again(1000)
}

// endsOn ends the daemon with a signal while a chord sounds.
func endsOn(signal string) Scenario {
	return Scenario{
		Name: "ends-on-" + strings.ToLower(signal),
		Script: `
			. "$LIB"
			live
			heed heard 'swellbox out 1'
			start chord tap say "$FILES/chord" 'swellbox in 1'
			wait_lines 4 "$OUT/heard.txt" ' 0 9'
			stop live ` + signal + `
			wait_no_port 'swellbox in 1'
			wait_no_port 'swellbox out 1'
			wait_ended "$OUT/heard.txt"
			wait_lines 1 "$OUT/heard.txt" ' 0 B04000'
			stop heard
			[ ! -e "$XDG_RUNTIME_DIR/swellbox/control.sock" ]`,
		Check: func(t *testing.T, r Result) {
			got := taken(t, r, "heard.txt")
			if n := countNoteOns(got); n != 4 {
				t.Errorf("%d note-ons, want 4", n)
			}
			if keys := hanging(got); len(keys) > 0 {
				t.Errorf("hanging: %q", keys)
			}
			if v := lastValue(got, 0, 0, 64); v != 0 {
				t.Errorf("the pedal was left at %d", v)
			}
		},
	}
}

// isSteered covers the commands around a running daemon.
func isSteered() Scenario {
	return Scenario{
		Name: "is-steered",
		Script: `
			. "$LIB"
			if swellbox status >none.txt 2>none.err; then fail "status of nothing succeeded"; fi
			grep 'no swellbox is running' none.err
			live
			swellbox status --json >"$OUT/silent.json"
			heed heard 'swellbox out 1'
			start chord tap say "$FILES/chord" 'swellbox in 1'
			wait_lines 4 "$OUT/heard.txt" ' 0 9'
			swellbox status --json >"$OUT/chord.json"
			swellbox status >"$OUT/words.txt"
			swellbox ports >"$OUT/ports.txt"
			swellbox ports --json >"$OUT/ports.json"
			if swellbox switch raw 'no such part' 2>"$OUT/unknown.err"; then fail "an unknown part was switched"; else echo "unknown part: $?"; fi
			if swellbox switch loud 2>"$OUT/side.err"; then fail "an unknown side was taken"; else echo "unknown side: $?"; fi
			if swellbox live >second.txt 2>"$OUT/second.err"; then fail "a second swellbox started"; else echo "second: $?"; fi
			swellbox status --json >"$OUT/after.json"
			swellbox panic
			swellbox status --json >"$OUT/panic.json"
			wait_lines 16 "$OUT/heard.txt" ' 0 B.7B00'
			wait_ended "$OUT/heard.txt"
			wait_lines 1 "$OUT/heard.txt" ' 0 B04000'
			stop heard
			stop live`,
		Check: func(t *testing.T, r Result) {
			if s := readStatus(t, r, "silent.json"); s.NotesOut != 0 || len(s.Parts) != 0 || len(s.Outputs) != 1 ||
				s.Outputs[0].Connected == nil || *s.Outputs[0].Connected != 0 {
				t.Errorf("before anything: %+v", s)
			}
			s := readStatus(t, r, "chord.json")
			if s.NotesIn != 4 || s.NotesOut != 4 || s.Side != "shaped" || len(s.Parts) != 2 || len(s.Warnings) > 0 {
				t.Fatalf("with the chord: %+v", s)
			}
			if s.Parts[0].Profile != "piano" || s.Parts[0].Sounding != 3 || s.Parts[1].Profile != "violins" || s.Parts[1].Sounding != 1 {
				t.Errorf("parts: %+v", s.Parts)
			}
			if c := s.Outputs[0].Connected; c == nil || *c != 1 {
				t.Errorf("the listener is not seen: %+v", s.Outputs)
			}
			for file, words := range map[string][]string{
				"unknown.err": {"no such part", "channel 1 of port 1 (piano)", "channel 2 of port 1 (violins)"},
				"side.err":    {"loud", "raw or shaped"},
				"second.err":  {"another swellbox is running", "--control"},
				"ports.txt":   {"Midi Through", "swellbox in 1", "swellbox out 1"},
				"words.txt":   {"playing shaped", "piano", "violins", "1 connected"},
			} {
				for _, w := range words {
					if !strings.Contains(string(r.Files[file]), w) {
						t.Errorf("%s does not say %q: %s", file, w, r.Files[file])
					}
				}
			}
			for _, want := range []string{"unknown part: 1\n", "unknown side: 2\n", "second: 1\n"} {
				if !strings.Contains(r.Log, want) {
					t.Errorf("the log lacks %q:\n%s", want, r.Log)
				}
			}
			var listed []ports.Info
			if err := json.Unmarshal(r.Files["ports.json"], &listed); err != nil || len(listed) < 3 {
				t.Errorf("ports --json: %v\n%s", err, r.Files["ports.json"])
			}
			if s := readStatus(t, r, "after.json"); len(s.Outputs) != 1 || s.Outputs[0].Connected == nil || *s.Outputs[0].Connected != 1 || !s.Outputs[0].Open {
				t.Errorf("the first suffered from the second: %+v", s.Outputs)
			}
			if s := readStatus(t, r, "panic.json"); s.Parts[0].Sounding != 0 || s.Parts[1].Sounding != 0 {
				t.Errorf("after panic something sounds: %+v", s.Parts)
			}
			got := taken(t, r, "heard.txt")
			if keys := hanging(got); len(keys) > 0 {
				t.Errorf("hanging: %q", keys)
			}
			if v := lastValue(got, 0, 0, 64); v != 0 {
				t.Errorf("panic left the pedal at %d", v)
			}
		},
	}
}

// driverConforms runs the driver's contract over the way from an output to an input
// that every ALSA sequencer has.
func driverConforms() Scenario {
	return Scenario{
		Name:   "driver-conforms",
		Script: `tap conform -test.v`,
		Check: func(t *testing.T, r Result) {
			if !strings.Contains(r.Log, "--- PASS: TestConform") {
				t.Errorf("the check did not run:\n%s", r.Log)
			}
		},
	}
}

// survivesChurn opens and closes an input many times while messages arrive: in the
// driver below, the thread that reads may be about to call what Close takes away.
func survivesChurn() Scenario {
	return Scenario{
		Name: "survives-churn",
		Script: `
			. "$LIB"
			{ echo again 1; echo 0 0 B05040; } >script
			start talker tap say script 'Midi Through'
			wait_lines 1 "$OUT/talker.txt" B05040
			tap churn 'Midi Through' 200
			stop talker
			rm "$OUT/talker.txt"`,
		Check: func(t *testing.T, r Result) {
			if !strings.Contains(r.Log, "heard 200\n") {
				t.Errorf("not all of 200 openings heard anything:\n%s", r.Log)
			}
		},
	}
}
