package main

import (
	"encoding/json"
	"strings"
	"testing"

	"swellbox/proxy/live"
	"swellbox/proxy/offline"
)

// What is known of the piece is said in plain sentences, and for scripts; the lookahead
// can be changed while it plays.
func TestLiveForeknowledge(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	sys := newAudible()
	d.system = sys
	r := d.start("live", "--lookahead", "300", "--score", "raw.mid", "--without", "vibrato")
	out := d.must("status")
	for _, want := range []string{
		"lookahead 300 ms; the transport stands (silence), so notes sound at once\n",
		"score raw.mid: not found, playing without it\n",
		", delay 0 ms\n",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("status does not say %q:\n%s", want, out)
		}
	}
	sys.Feed("swellbox in 1", 0xFA)
	sys.Feed("swellbox in 1", 0x90, 69, 90)
	sys.Feed("swellbox in 1", 0x91, 60, 90)
	await(t, sys.heard, "the note", noteOn)
	if out := d.must("status"); !strings.Contains(out, "the transport runs (clock runs), so notes sound 300 ms later\n") {
		t.Errorf("status prints\n%s", out)
	}
	if out := d.must("lookahead", "0"); out != "lookahead 0 ms\n" {
		t.Errorf("lookahead prints %q", out)
	}
	var s live.Status
	if err := json.Unmarshal([]byte(d.must("lookahead", "500", "--json")), &s); err != nil {
		t.Fatal(err)
	}
	if s.Foreknowledge.LookaheadMS != 500 || s.Foreknowledge.Score != "raw.mid" || s.DelayMS >= 500 {
		t.Errorf("status is %+v, delay %v ms", s.Foreknowledge, s.DelayMS)
	}
	for _, p := range s.Parts {
		if _, has := p.Habits["vibrato"]; has || len(p.Habits) == 0 {
			t.Errorf("%s plays by the habits %v", p.Name, p.Habits)
		}
	}
	r.cancel()
	if status := r.end(); status != 0 {
		t.Errorf("status %d, %s", status, r.errs)
	}
	checkEnded(t, sys.Sent("swellbox out 1"), 1)
}

// A file that is played is known by itself, unless it is not to be.
func TestPlayForeknowledge(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	for _, c := range []struct {
		args  []string
		score string
	}{
		{[]string{"play", "raw.mid", "--loop", "1"}, "score raw.mid: found, 100% sure, at 1.00 times the written tempo\n"},
		{[]string{"play", "raw.mid", "--loop", "1", "--score", "none"}, ""},
	} {
		sys := newAudible()
		d.system = sys
		r := d.start(c.args...)
		await(t, sys.heard, "a note", noteOn)
		if out := d.must("status"); !strings.Contains(out, c.score) || strings.Contains(out, "score ") != (c.score != "") || !strings.Contains(out, "\nbar 1, beat ") {
			t.Errorf("%q: status prints\n%s", c.args, out)
		}
		r.cancel()
		if status := r.end(); status != 0 {
			t.Errorf("%q: status %d, %s", c.args, status, r.errs)
		}
	}
}

// render plays by the file's own score unless told otherwise, and by the habits asked for.
func TestRenderManner(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	d.must("render", "raw.mid", "-o", "self.mid")
	d.must("render", "raw.mid", "-o", "none.mid", "--score", "none")
	if d.read("self.mid") == d.read("none.mid") {
		t.Error("to know the piece makes no difference")
	}
	var report offline.Report
	if err := json.Unmarshal([]byte(d.must("render", "raw.mid", "-o", "x.mid", "--json", "--only", "marks,vibrato", "--without", "vibrato")), &report); err != nil {
		t.Fatal(err)
	}
	for _, p := range report.Parts {
		if n, has := p.Habits["marks"]; !has || n != 2 || len(p.Habits) != 1 {
			t.Errorf("%s plays by the habits %v", p.Name, p.Habits)
		}
	}
	if len(report.Parts) != 2 {
		t.Errorf("parts %+v", report.Parts)
	}
}
