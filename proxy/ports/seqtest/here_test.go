package seqtest

import (
	"os/exec"
	"strings"
	"testing"
	"time"
)

// runHere runs scenarios on this machine. They must not use the sequencer: this is
// for what run.sh promises, which is the same wherever it runs.
func runHere(t *testing.T, scenarios ...Scenario) map[string]Result {
	t.Helper()
	if _, err := exec.LookPath("setsid"); err != nil {
		t.Skip("no setsid (package util-linux) to run scenarios with")
	}
	results, err := runAt(t.Context(), here{}, Job{Scenarios: scenarios})
	if err != nil {
		t.Fatal(err)
	}
	return results
}

func TestScriptStatusAndLog(t *testing.T) {
	r := runHere(t,
		Scenario{Name: "ends-well", Script: `echo said; echo complained >&2; echo "$EMULATED"`},
		Scenario{Name: "asks-for-7", Script: `exit 7`},
		Scenario{Name: "stops-at-first-error", Script: "false\necho not reached"},
		Scenario{Name: "unset-variable", Script: `echo "$nothing"`},
		Scenario{Name: "after-all-these", Script: `echo here`},
	)
	if got := r["ends-well"]; got.Status != 0 || got.Log != "said\ncomplained\n0\n" || got.Emulated {
		t.Errorf("ends-well: %+v", got)
	}
	if got := r["asks-for-7"].Status; got != 7 {
		t.Errorf("asks-for-7: status %d", got)
	}
	if got := r["stops-at-first-error"]; got.Status == 0 || got.Log != "" {
		t.Errorf("stops-at-first-error: %+v", got)
	}
	if got := r["unset-variable"]; got.Status == 0 || !strings.Contains(got.Log, "nothing") {
		t.Errorf("unset-variable: %+v", got)
	}
	if got := r["after-all-these"].Log; got != "here\n" {
		t.Errorf("after-all-these: log %q", got)
	}
}

// What a program complained of in the background is shown with a script that failed.
func TestComplaints(t *testing.T) {
	r := runHere(t, Scenario{Name: "daemon", Script: `
		. "$LIB"
		start quiet sh -c 'echo fine'
		start live sh -c 'echo no such profile >&2'
		wait_lines 1 "$OUT/live.err" profile
		exit 1`})
	if got, want := r["daemon"].complaints(), "--- live.err\nno such profile\n"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// A script that would never end is stopped, says so, and takes what it started with it.
func TestLimit(t *testing.T) {
	r := runHere(t,
		Scenario{Name: "endless", Limit: time.Second, Script: `
			sh -c 'echo $$ >"$OUT/child"; while :; do sleep 0.1; done' &
			wait`},
		Scenario{Name: "next", Script: `
			read -r child <"$OUT/../../endless/out/child"
			. "$LIB"
			retry ended "$child"`},
	)
	if got := r["endless"]; got.Status == 0 || !strings.Contains(got.Log, "limit of 1 s") {
		t.Errorf("endless: %+v", got)
	}
	if got := r["next"]; got.Status != 0 {
		t.Errorf("the child outlived its script: %+v", got)
	}
}

// The waits of lib.sh come to an end, and say what they waited for.
func TestLibraryWaitsAreBounded(t *testing.T) {
	// A stand-in for aconnect, in its own layout, so that no sequencer is needed.
	const aconnect = `
		aconnect() {
			printf '%s\n' "client 14: 'Midi Through' [type=kernel]" \
				"    0 'Midi Through Port-0'" \
				"client 128: 'swellbox' [type=user,pid=1]" \
				"    0 'swellbox in 1   '" \
				"	Connecting To: 129:0" \
				"    1 'it's in 1'" \
				"client 129: 'other' [type=user,pid=2]" \
				"    3 'swellbox in 1   '"
		}
		. "$LIB"
		`
	cases := []struct{ name, script, log string }{
		{"finds-by-name", `wait_port 'swellbox in 1'`, "128:0\n"},
		{"finds-by-client", `wait_port 'swellbox in 1' other`, "129:3\n"},
		{"finds-quotes", `wait_port "it's in 1"`, "128:1\n"},
		{"half-a-name", `TRIES=2; wait_port 'swellbox in'`, "FAILED: no port called 'swellbox in'"},
		{"wrong-client", `TRIES=2; a=$(wait_port 'swellbox in 1' 'Midi Through'); echo "$a"`, "FAILED: no port"},
		{"never-goes", `TRIES=2; wait_no_port 'swellbox in 1'`, "FAILED: the port 'swellbox in 1' is still there"},
		{"listener", `has_listener 128:0; ! has_listener 128:1; echo ok`, "ok\n"},
		{"lines", `printf 'a\nb\na\n' >f; wait_lines 2 f '^a'; TRIES=2; wait_lines 3 f a`, "fewer than 3 lines like 'a' in f"},
		{"no-file", `TRIES=2; wait_lines 1 f a`, "fewer than 1 lines"},
		{"same", `echo a >f; echo a >g; same f g; echo b >g; same f g`, "FAILED: g is not f"},
		{"stop", `start x sleep 60; if stop x; then exit 1; else echo $?; fi`, "143\n"},
		{"stop-status", `start x sh -c 'trap "exit 3" TERM; echo up; while :; do sleep 0.1; done'; wait_lines 1 "$OUT/x.txt" up; stop x || echo $?`, "3\n"},
		{"does-not-stop", `start x sh -c 'trap "" TERM; echo up; while :; do sleep 0.1; done'; wait_lines 1 "$OUT/x.txt" up; TRIES=2; stop x`, "FAILED: x did not end on TERM"},
	}
	var scenarios []Scenario
	for _, c := range cases {
		scenarios = append(scenarios, Scenario{Name: c.name, Script: aconnect + c.script})
	}
	results := runHere(t, scenarios...)
	for _, c := range cases {
		r := results[c.name]
		if failed := strings.Contains(c.log, "FAILED") || strings.Contains(c.log, "fewer"); failed != (r.Status != 0) {
			t.Errorf("%s: status %d\n%s", c.name, r.Status, r.Log)
		}
		if !strings.Contains(r.Log, c.log) {
			t.Errorf("%s: the log does not say %q:\n%s", c.name, c.log, r.Log)
		}
	}
}
