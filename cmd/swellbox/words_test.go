package main

import (
	"path/filepath"
	"strings"
	"testing"
)

// broken is a file whose first note has a velocity of 255, at byte 25.
const broken = "MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60" + "MTrk\x00\x00\x00\x08" + "\x00\x90\x3C\xFF" + "\x00\xFF\x2F\x00"

// Command lines that fail: with which status, and with which words on the error side,
// on one line. Nothing is printed on the other.
func TestRefusals(t *testing.T) {
	for name, c := range map[string]struct {
		args   string
		status int
		words  []string
	}{
		"unknown command":          {"sing", 2, []string{`no command "sing"`, "render", "see swellbox help"}},
		"help on unknown command":  {"help sing", 2, []string{`no command "sing"`}},
		"unknown flag":             {"render raw.mid --loud", 2, []string{"--loud", "see swellbox help"}},
		"unknown flag of all":      {"--loud", 2, []string{"--loud"}},
		"flag with a wrong value":  {"ports --foot-controller high", 2, []string{"foot-controller", "high"}},
		"render without a file":    {"render -o x.mid", 2, []string{"one MIDI file is due"}},
		"render of two files":      {"render raw.mid raw.mid -o x.mid", 2, []string{"found 2 arguments"}},
		"render to nowhere":        {"render raw.mid", 2, []string{"-o SHAPED.mid"}},
		"render of no file":        {"render none.mid -o x.mid", 1, []string{"none.mid", "no such file"}},
		"render of a broken file":  {"render broken.mid -o x.mid", 1, []string{"broken.mid: byte 25, track 1:", "FF"}},
		"render of no MIDI file":   {"render words.txt -o x.mid", 1, []string{"words.txt: byte 0:", "MThd"}},
		"render onto itself":       {"render raw.mid -o raw.mid", 1, []string{"raw.mid would be overwritten"}},
		"render onto a link to it": {"render raw.mid -o link.mid", 1, []string{"would be overwritten"}},
		"render into no folder":    {"render raw.mid -o none/x.mid", 1, []string{"none/x.mid", "no such file"}},
		"render onto a folder":     {"render raw.mid -o folder", 1, []string{"folder"}},
		"demo with arguments":      {"demo loud", 2, []string{"no argument is due"}},
		"demo into a file":         {"demo -o words.txt", 1, []string{"words.txt"}},
		"play of a broken file":    {"play broken.mid", 1, []string{"broken.mid: byte 25, track 1:"}},
		"play of no bars":          {"play raw.mid --loop verse", 2, []string{`--loop is "verse"`}},
		"play of bars backwards":   {"play raw.mid --loop 3-2", 1, []string{"bars 3-2"}},
		"play of bars beyond":      {"play raw.mid --loop 7", 1, []string{"no bar 7"}},
		"play to no port":          {"play raw.mid --out harmonium", 1, []string{"harmonium"}},
		"live from no port":        {"live --in harmonium", 1, []string{"harmonium"}},
		"live with no input":       {"live --inputs 0", 2, []string{"--inputs is 0", "1 to 64"}},
		"live with many outputs":   {"live --outputs 65", 2, []string{"--outputs is 65"}},
		"live with few outputs":    {"live --inputs 3 --outputs 2", 1, []string{"3 inputs need as many outputs, found 2"}},
		"switch to nothing":        {"switch", 2, []string{"raw or shaped"}},
		"switch to something else": {"switch loud", 2, []string{`"loud"`, "raw or shaped"}},
		"switch without a daemon":  {"switch raw", 1, []string{"no swellbox is running", "swellbox live"}},
		"lookahead of nothing":     {"lookahead", 2, []string{"one number of milliseconds"}},
		"lookahead of too much":    {"lookahead 3001", 2, []string{`"3001"`, "0 to 3000"}},
		"lookahead below nothing":  {"lookahead -- -1", 2, []string{`"-1"`, "0 to 3000"}},
		"lookahead of no number":   {"lookahead long", 2, []string{`"long"`, "0 to 3000"}},
		"lookahead without daemon": {"lookahead 500", 1, []string{"no swellbox is running"}},
		"live far ahead":           {"live --lookahead 5000", 1, []string{"lookahead is 5000", "3000 ms"}},
		"live with much rubato":    {"live --rubato 3", 1, []string{"rubato is 3"}},
		"live by no such rule":     {"live --only vibrato,loud", 1, []string{`no rule "loud"`, "the rules are: expression", "vibrato"}},
		"live without such a rule": {"live --without loud", 1, []string{`no rule "loud"`, "the rules are"}},
		"live by no score":         {"live --score none.mxl", 1, []string{"none.mxl", "no such file"}},
		"live by a broken score":   {"live --score broken.mid", 1, []string{"broken.mid: byte 25, track 1:"}},
		"live by words":            {"live --score words.txt", 1, []string{"words.txt: a score is a .mid, .musicxml, .xml or .mxl file"}},
		"live by other XML":        {"live --score other.xml", 1, []string{"other.xml", "<score-partwise>"}},
		"live by an empty score":   {"live --score empty.mid", 1, []string{"empty.mid: there is no note in it"}},
		"play by another score":    {"play raw.mid --score else", 2, []string{`--score is "else"`, "self or none"}},
		"render by another score":  {"render raw.mid -o x.mid --score x.mid", 2, []string{`--score is "x.mid"`, "self or none"}},
		"render by no such rule":   {"render raw.mid -o x.mid --only loud", 1, []string{`no rule "loud"`, "the rules are"}},
		"config of a long wait":    {"ports --config wait.yaml", 1, []string{`lookahead is "long"`, "whole number"}},
		"config of a word":         {"ports --config word.yaml", 1, []string{`rubato is "much"`, "must be a number"}},
		"status without a daemon":  {"status", 1, []string{"no swellbox is running"}},
		"panic without a daemon":   {"panic", 1, []string{"no swellbox is running"}},
		"config that is not there": {"ports --config none.yaml", 1, []string{"none.yaml"}},
		"config of no YAML":        {"ports --config torn.yaml", 1, []string{"torn.yaml", "yaml: line"}},
		"config with another key":  {"ports --config key.yaml", 1, []string{"key.yaml", `"volume"`, "foot_controller"}},
		"config with a wrong kind": {"ports --config kind.yaml", 1, []string{`foot_controller is "loud"`, "whole number"}},
		"config past the range":    {"ports --config range.yaml", 1, []string{"foot_controller is 120", "1 to 119"}},
		"channel past the range":   {"ports --foot-channel 17", 1, []string{"foot_channel is 17"}},
		"log of no level":          {"ports --log loud", 1, []string{`log is "loud"`, "debug"}},
		"seating with a wrong key": {"render raw.mid -o x.mid --seating seating.yaml", 1, []string{"seating.yaml:3:18", "instrument"}},
		"seating of no profile":    {"render raw.mid -o x.mid --seating nobody.yaml", 1, []string{"nobody.yaml:3:27", "theremin"}},
		"profile with a wrong key": {"render raw.mid -o x.mid --profiles own", 1, []string{"own/viol.yaml:4:1", "loudness"}},
		"profiles in no folder":    {"render raw.mid -o x.mid --profiles none", 1, []string{"none", "no such file"}},
	} {
		t.Run(name, func(t *testing.T) {
			d := atDesktop(t)
			d.duet()
			d.file("broken.mid", broken)
			d.file("words.txt", "not music")
			d.file("torn.yaml", "log: info\nprofiles: [a\n")
			d.file("key.yaml", "volume: 11\n")
			d.file("kind.yaml", "foot_controller: loud\n")
			d.file("wait.yaml", "lookahead: long\n")
			d.file("word.yaml", "rubato: much\n")
			d.file("other.xml", "<html/>")
			d.file("empty.mid", "MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60MTrk\x00\x00\x00\x04\x00\xFF\x2F\x00")
			d.file("range.yaml", "foot_controller: 120\n")
			d.file("seating.yaml", "swellbox: 1\nseats:\n  - {channel: 1, instrument: violins}\n")
			d.file("nobody.yaml", "swellbox: 1\nseats:\n  - {channel: 1, profile: theremin}\n")
			d.file("own/viol.yaml", "swellbox: 1\nname: viol\nextends: viola\nloudness: 3\n")
			d.file("folder/inside", "")
			link(t, filepath.Join(d.dir, "raw.mid"), filepath.Join(d.dir, "link.mid"))
			status, out, errs := d.run(strings.Fields(c.args)...)
			if status != c.status {
				t.Errorf("status %d, want %d", status, c.status)
			}
			if out != "" {
				t.Errorf("printed %q", out)
			}
			if !strings.HasPrefix(errs, "swellbox: ") || strings.Count(errs, "\n") != 1 || !strings.HasSuffix(errs, "\n") {
				t.Errorf("want one line that starts with the program's name, got %q", errs)
			}
			for _, w := range c.words {
				if !strings.Contains(errs, w) {
					t.Errorf("%q does not say %q", errs, w)
				}
			}
			if exists(t, filepath.Join(d.dir, "x.mid")) {
				t.Error("something was written all the same")
			}
		})
	}
}

// Help goes where output goes, tells how to call every command, and is nowhere a
// template's.
func TestHelp(t *testing.T) {
	d := atDesktop(t)
	d.file("user/swellbox/config.yaml", "broken: [")
	top := d.must()
	if top != d.must("--help") || top != d.must("help") {
		t.Error("swellbox, swellbox help and swellbox --help differ")
	}
	commands := []string{"demo", "live", "play", "render", "balance", "quiz", "profile", "ports", "status", "switch", "sense", "lookahead", "panic"}
	for _, name := range commands {
		if !strings.Contains(top, "\n  "+name+" ") {
			t.Errorf("the help does not list %s", name)
		}
		help := d.must(name, "--help")
		if help != d.must("help", name) {
			t.Errorf("help %s and %s --help differ", name, name)
		}
		if !strings.Contains(help, "Usage:\n  swellbox "+name) {
			t.Errorf("%s: no usage in\n%s", name, help)
		}
		if strings.Contains(help, "--seating") {
			t.Errorf("%s explains the flags of all commands", name)
		}
		top += help
	}
	for _, clumsy := range []string{"[flags]", "Additional help topics", "Available Commands", "Global Flags", "stringArray", "[=true", "(default -1)"} {
		if strings.Contains(top, clumsy) {
			t.Errorf("the help says %q", clumsy)
		}
	}
	for _, want := range []string{"--loop BARS", "-o, --out FILE", "--foot-controller NUMBER", "--log LEVEL", "(default: info)"} {
		if !strings.Contains(top, want) {
			t.Errorf("the help does not say %q", want)
		}
	}
	for line := range strings.SplitSeq(top, "\n") {
		if strings.TrimRight(line, " \t") != line {
			t.Errorf("the line %q ends in blanks", line)
		}
	}
}
