package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A piece of one's own is demonstrated as the built-in score is: its name, its parts and its bars, and
// never over the piece itself.
func TestDemoOfAPiece(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	status, out, errs := d.run("demo", "raw.mid", "-o", "heard", "--part", "Violin I")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	contains(t, out, "raw: what the players changed", "heard/raw.wav", "heard/shaped.wav", "balance.html")
	heardAlike(t, d, "heard/raw.wav", "heard/shaped.wav")
	for _, picture := range []string{"before-after.svg", "curves.svg"} {
		if svg := d.read("heard/" + picture); !strings.Contains(svg, "Violin I") || strings.Contains(svg, "Horn in F") {
			t.Errorf("%s does not show the piece's part alone", picture)
		}
	}

	for _, c := range []struct {
		args []string
		says string
	}{
		{[]string{"heard/raw.mid", "-o", "heard"}, "heard/raw.mid would be overwritten; give -o another folder"},
		{[]string{"raw.mid", "--part", "Nobody"}, "there is no part Nobody in the score; its parts are "},
		{[]string{"none.mid"}, "none.mid"},
		{[]string{"raw.mid", "shaped.mid"}, "at most one MIDI file or score"},
	} {
		before := d.read("heard/raw.mid")
		if status, _, errs := d.run(append([]string{"demo"}, c.args...)...); status == 0 || !strings.Contains(errs, c.says) {
			t.Errorf("demo %q: status %d, %q; want %q", c.args, status, errs, c.says)
		}
		if _, err := os.Stat(filepath.Join(d.dir, "demo")); err == nil || d.read("heard/raw.mid") != before {
			t.Fatalf("demo %q wrote", c.args)
		}
	}
}
