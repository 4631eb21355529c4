package seqtest

import (
	"slices"
	"strings"
	"testing"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
)

// setupScript tells a channel what a sampler must know, and plays a note.
func setupScript() string {
	return line(0, 0, 0xB2, 0, 1) + line(0, 0, 0xB2, 32, 2) + line(0, 0, 0xC2, 73) + line(0, 0, 0xB2, 7, 90) +
		line(0, 0, 0xB2, 101, 0) + line(0, 0, 0xB2, 100, 0) + line(0, 0, 0xB2, 6, 7) + line(0, 0, 0xB2, 91, 33) +
		line(0, 0, 0xE2, 0, 80) + line(20, 0, 0x92, 72, 70) + line(120, 0, 0x82, 72, 64)
}

// againScript plays a note on that channel, and says nothing else.
func againScript() string {
	return line(0, 0, 0x92, 72, 70) + line(100, 0, 0x82, 72, 64)
}

// broughtBack holds what a listener that came back heard against what setupScript
// said: all of it stands before the first note.
func broughtBack(t *testing.T, got []expr.Event) {
	t.Helper()
	first := slices.IndexFunc(got, func(e expr.Event) bool { return e.IsNoteOn() })
	if first < 0 {
		t.Fatalf("no note came after the return; heard %d messages", len(got))
	}
	before := got[:first]
	for number, value := range map[byte]int{0: 1, 32: 2, 7: 90, 6: 7, 91: 33} {
		if v := lastValue(before, 0, 2, number); v != value {
			t.Errorf("controller %d stands at %d before the next note, want %d", number, v, value)
		}
	}
	for _, want := range [][3]byte{{0xC2, 73}, {0xE2, 0, 80}} {
		if !slices.ContainsFunc(before, func(e expr.Event) bool { return e.Msg == want }) {
			t.Errorf("no % X before the next note", want)
		}
	}
	bank := slices.IndexFunc(before, func(e expr.Event) bool { return e.Msg == [3]byte{0xB2, 0, 1} })
	program := slices.IndexFunc(before, func(e expr.Event) bool { return e.Msg == [3]byte{0xC2, 73} })
	if bank > program {
		t.Errorf("the bank came after the program that needs it")
	}
}

// listenerReturns kills who listens to the virtual output; the music goes on, and
// the next one who listens is told where everything stands.
func listenerReturns() Scenario {
	return Scenario{
		Name: "listener-returns",
		Script: `
			. "$LIB"
			live
			heed first 'swellbox out 1'
			tap say "$FILES/setup" 'swellbox in 1' >/dev/null
			wait_lines 1 "$OUT/first.txt" ' 0 8248'
			stop first KILL || true
			wait_lines 1 "$OUT/live.err" 'nobody listens to the output'
			tap say "$FILES/again" 'swellbox in 1' >/dev/null
			played() { swellbox status --json >"$OUT/alone.json" && grep -q '"notes_out": 2' "$OUT/alone.json"; }
			retry played || fail "the second note was not played: $(cat "$OUT/alone.json")"
			heed second 'swellbox out 1'
			wait_lines 1 "$OUT/second.txt" ' 0 C249'
			tap say "$FILES/again" 'swellbox in 1' >/dev/null
			wait_lines 1 "$OUT/second.txt" ' 0 8248'
			stop second
			wait_lines 2 "$OUT/live.err" 'nobody listens to the output'
			tap say "$FILES/again" 'swellbox in 1' >/dev/null
			listen dump "$(wait_port 'swellbox out 1')"
			wait_lines 1 "$OUT/dump.txt" 'Program change *2, program 73'
			stop dump KILL || true
			stop live`,
		Check: func(t *testing.T, r Result) {
			broughtBack(t, taken(t, r, "second.txt"))
			s := readStatus(t, r, "alone.json")
			if !s.Outputs[0].Open || *s.Outputs[0].Connected != 0 {
				t.Errorf("alone: %+v", s)
			}
		},
	}
}

// playerReturns does the same with a named port, which is lost while its owner is
// away, next to one that stays.
func playerReturns() Scenario {
	return Scenario{
		Name: "player-returns",
		Script: `
			. "$LIB"
			player first 'sampler left'
			player stays 'sampler right'
			live --inputs 2 --out 'sampler left' --out 'sampler right'
			tap say "$FILES/setup" 'swellbox in 1' >/dev/null
			wait_lines 1 "$OUT/first.txt" ' 0 8248'
			start chord tap say "$FILES/chord" 'swellbox in 1'
			wait_lines 4 "$OUT/first.txt" ' 0 9[01]'
			stop first KILL || true
			wait_lines 1 "$OUT/live.err" 'output lost'
			swellbox status --json >"$OUT/lost.json"
			swellbox status >"$OUT/lost.txt" 2>&1
			tap say "$FILES/again" 'swellbox in 1' >/dev/null
			tap say "$FILES/setup" 'swellbox in 2' >/dev/null
			wait_lines 1 "$OUT/stays.txt" ' 0 8248'
			player second 'sampler left'
			wait_lines 1 "$OUT/second.txt" ' 0 C249'
			wait_lines 1 "$OUT/live.err" 'output connected'
			tap say "$FILES/again" 'swellbox in 1' >/dev/null
			wait_lines 1 "$OUT/second.txt" ' 0 8248'
			swellbox status --json >"$OUT/back.json"
			stop live
			stop second
			stop stays`,
		Check: func(t *testing.T, r Result) {
			got := taken(t, r, "second.txt")
			broughtBack(t, got)
			notesOff := slices.IndexFunc(got, func(e expr.Event) bool { return e.Msg == [3]byte{0xB2, 123, 0} })
			note := slices.IndexFunc(got, func(e expr.Event) bool { return e.IsNoteOn() })
			if notesOff < 0 || notesOff > note {
				t.Errorf("a player that may have missed note-offs was not told to end its notes")
			}
			s := readStatus(t, r, "lost.json")
			if s.Outputs[0].Open || !s.Outputs[1].Open || len(s.Warnings) != 1 || !strings.Contains(s.Warnings[0], "sampler left") {
				t.Errorf("lost: %+v", s)
			}
			if !strings.Contains(string(r.Files["lost.txt"]), "lost, waiting") {
				t.Errorf("the status does not say that the output is lost:\n%s", r.Files["lost.txt"])
			}
			if n := countNoteOns(taken(t, r, "stays.txt")); n != 1 {
				t.Errorf("the output that stayed heard %d notes, want 1", n)
			}
			if s := readStatus(t, r, "back.json"); !s.Outputs[0].Open || len(s.Warnings) > 0 {
				t.Errorf("back: %+v", s)
			}
		},
	}
}

// senderLeaves ends the only program that sends to the virtual input while it holds a
// chord: nobody else can end it.
func senderLeaves() Scenario {
	return Scenario{
		Name: "sender-leaves",
		Script: `
			. "$LIB"
			live
			heed heard 'swellbox out 1'
			start chord tap say "$FILES/chord" 'swellbox in 1'
			wait_lines 4 "$OUT/heard.txt" ' 0 9'
			wait_lines 1 "$OUT/live.err" 'input connected'
			stop chord KILL || true
			wait_lines 4 "$OUT/heard.txt" ' 0 8'
			wait_lines 1 "$OUT/heard.txt" ' 0 B04000'
			stop heard
			stop live`,
		Check: func(t *testing.T, r Result) {
			if keys := hanging(taken(t, r, "heard.txt")); len(keys) > 0 {
				t.Errorf("hanging: %q", keys)
			}
		},
	}
}

// keyboardReturns takes away a named input while a chord is held: its note-offs will
// never come. Then it is back, and played again.
func keyboardReturns() Scenario {
	return Scenario{
		Name: "keyboard-returns",
		Script: `
			. "$LIB"
			start first tap keyboard "$FILES/chord" 'stage piano'
			wait_port 'stage piano' >/dev/null
			player heard 'sampler'
			live --in 'stage piano' --out sampler
			wait_lines 4 "$OUT/heard.txt" ' 0 9[01]'
			stop first KILL || true
			wait_lines 1 "$OUT/live.err" 'input lost'
			swellbox status --json >"$OUT/lost.json"
			start second tap keyboard "$FILES/chord" 'stage piano'
			wait_lines 1 "$OUT/live.err" 'input is back'
			wait_lines 8 "$OUT/heard.txt" ' 0 9[01]'
			swellbox status --json >"$OUT/back.json"
			stop second || true
			stop live
			wait_ended "$OUT/heard.txt"
			stop heard`,
		Check: func(t *testing.T, r Result) {
			if s := readStatus(t, r, "lost.json"); s.Inputs[0].Open || s.Parts[0].Sounding != 0 || s.Parts[1].Sounding != 0 {
				t.Errorf("lost: %+v", s)
			}
			if s := readStatus(t, r, "back.json"); !s.Inputs[0].Open || s.NotesIn != 8 {
				t.Errorf("back: %+v", s)
			}
			if keys := hanging(taken(t, r, "heard.txt")); len(keys) > 0 {
				t.Errorf("hanging: %q", keys)
			}
		},
	}
}

// playerHangs stops one of two players, so that it reads no more, and plays on: the
// other must not suffer, and the daemon must still end: in what time, TestCloseInMidChord
// in proxy and TestCloseWhileSending in rtmidi hold against exact clocks.
func playerHangs() Scenario {
	return Scenario{
		Name: "player-hangs",
		Script: `
			. "$LIB"
			player hangs 'sampler left'
			player stays 'sampler right'
			live --inputs 2 --out 'sampler left' --out 'sampler right'
			start chord tap say "$FILES/chord" 'swellbox in 1'
			wait_lines 4 "$OUT/hangs.txt" ' 0 9[01]'
			kill -s STOP $pid_hangs
			tap say "$FILES/burst" 'swellbox in 1' >/dev/null
			tap say "$FILES/setup" 'swellbox in 2' >/dev/null
			wait_lines 1 "$OUT/stays.txt" ' 0 8248'
			swellbox status --json >"$OUT/status.json"
			stop live || true
			kill -s CONT $pid_hangs
			stop hangs || true
			stop stays`,
		Check: func(t *testing.T, r Result) {
			if s := readStatus(t, r, "status.json"); s.NotesIn != 5 || s.NotesOut != 5 {
				t.Errorf("while it hangs: %+v", s)
			}
			if keys := hanging(taken(t, r, "stays.txt")); len(keys) > 0 {
				t.Errorf("hanging: %q", keys)
			}
		},
	}
}

// barFile is two bars of 2/4 at 240 quarters a minute: in the first a note that lasts
// and four short ones, the second ends with a note that the loop must not reach.
func barFile(t *testing.T) []byte {
	const quarter = 96
	track := smf.Track{Events: []smf.Event{
		{Tick: 0, Data: []byte{0xFF, smf.MetaTempo, 0x03, 0xD0, 0x90}}, // 250 ms a quarter
		{Tick: 0, Data: []byte{0xFF, smf.MetaTimeSignature, 2, 2, 24, 8}},
		{Tick: 0, Data: []byte{0xC0, 40}},
		{Tick: 0, Data: []byte{0x90, 55, 80}},
	}}
	for i := range int64(4) {
		track.Events = append(track.Events,
			smf.Event{Tick: i * quarter / 2, Data: []byte{0x90, byte(70 + i), 90}},
			smf.Event{Tick: i*quarter/2 + 40, Data: []byte{0x80, byte(70 + i), 64}})
	}
	track.Events = append(track.Events,
		smf.Event{Tick: 2*quarter + 10, Data: []byte{0x80, 55, 64}},
		smf.Event{Tick: 3 * quarter, Data: []byte{0x90, 100, 90}}, smf.Event{Tick: 4 * quarter, Data: []byte{0x80, 100, 64}})
	track.End = 4 * quarter
	return fileOf(t, &smf.File{Division: smf.Division{TicksPerQuarter: quarter}, Tracks: []smf.Track{track}})
}

// playsLoop plays a bar over and over into a named port, switching meanwhile.
func playsLoop() Scenario {
	return Scenario{
		Name: "plays-a-loop",
		Script: `
			. "$LIB"
			player heard 'sampler'
			start play swellbox play "$FILES/bar.mid" --out sampler --loop 1-1
			wait_lines 5 "$OUT/heard.txt" ' 0 9046'
			swellbox switch raw
			wait_lines 7 "$OUT/heard.txt" ' 0 9046'
			swellbox status --json >"$OUT/raw.json"
			swellbox switch shaped
			wait_lines 9 "$OUT/heard.txt" ' 0 9046'
			stop play INT
			wait_ended "$OUT/heard.txt"
			stop heard`,
		Check: func(t *testing.T, r Result) {
			got := taken(t, r, "heard.txt")
			if keys := hanging(got); len(keys) > 0 {
				t.Errorf("hanging: %q", keys)
			}
			counts := map[byte]int{}
			for i := range got {
				if e := &got[i]; e.IsNoteOn() {
					counts[e.Msg[1]]++
				}
			}
			if counts[100] > 0 {
				t.Errorf("the second bar was played")
			}
			rounds, left := counts[55], counts[55]
			for key := byte(70); key < 74; key++ {
				if counts[key] != left && (left != rounds || counts[key] != rounds-1) { // the last round may be cut short, anywhere
					t.Errorf("rounds are not whole: %v", counts)
				}
				left = counts[key]
			}
			s := readStatus(t, r, "raw.json")
			if s.Side != "raw" || s.Position == nil || s.Position.Bar != 1 || s.Position.Beat < 1 || s.Position.Beat >= 3 {
				t.Errorf("while looping: %+v, position %+v", s, s.Position)
			}
		},
	}
}
