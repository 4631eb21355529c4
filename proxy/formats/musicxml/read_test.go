package musicxml

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"
)

func TestManyErrors(t *testing.T) {
	head := strings.TrimSuffix(scoreOf(""), "</part></score-partwise>")
	for _, c := range []struct {
		name, text, want string
	}{
		{"empty", "", "line 1: the file holds no element"},
		{"not XML", "MThd", "line 1: the file holds no element"},
		{"web page", "<html><body/></html>", "starts with <html>"},
		{"list of scores", "<opus/>", "list of scores"},
		{"no measures", scoreOf(""), "the score has no measures"},
		{"cut off", head + "\n\n<measure number=\"7\"><note>", `line 3, part "P1", measure "7": the file ends too early`},
		{"wrong nesting", head + "<measure number=\"1\"></part>", `part "P1", measure "1": </part> closes nothing that is open`},
		{"broken tag", head + "<measure number=1/>", `line 1, part "P1": unquoted or missing attribute value`},
		{"unknown entity", measureOf("<note>&lol;</note>"), "invalid character entity &lol;"},
		{"entity bomb", `<!DOCTYPE a [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]>` + measureOf("<words>&b;</words>"), "invalid character entity &b;"},
		{"deep", measureOf(strings.Repeat("<a>", maxDepth)), "more than 100 deep"},
		{"long tag", measureOf(`<a b="` + strings.Repeat("x", 2*maxTag) + `"/>`), "over 1048576 bytes long"},
		{"unknown encoding", `<?xml version="1.0" encoding="KOI8-R"?>` + measureOf(""), `the encoding "KOI8-R" is not known here`},
		{"half a character", "\xFF\xFE<\x00a", "ends within a character"},
		{"long measure", measureOf(strings.Repeat(noteOf("C", 4, 9_000, ""), 2)), "over 10000 quarter notes long"},
		{"long piece", measureOf(`<sound tempo="5"/>` + noteOf("C", 4, 9_999, "")), ""},
		{"endless piece", scoreOf(strings.Repeat(`<measure><sound tempo="5"/>`+noteOf("C", 4, 9_999, "")+`</measure>`, 2)), "the score lasts"},
		{"grace notes", measureOf(strings.Repeat("<note><grace/><pitch><step>C</step><octave>4</octave></pitch></note>", maxGraces+1)), "over 1000 grace notes"},
		{"cells", "<score-timewise>" + strings.Repeat("<measure/>", 60_000) + "<measure>" + manyParts(100) + "</measure></score-timewise>", "over 5000000 measures in all"},
		{"parts", "<score-timewise><measure>" + manyParts(maxParts+1) + "</measure></score-timewise>", "over 1000 parts"},
		{"measures", scoreOf(strings.Repeat("<measure/>", maxMeasures+1)), "over 100000 measures"},
		{"repeats", scoreOf(strings.Repeat("<measure/>", maxMeasures/2) + "<measure>" + signs[":|x3"] + "</measure>"), "play out to over 100000 measures"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Read([]byte(c.text))
			if c.want == "" {
				if err != nil {
					t.Fatal(err)
				}
				return
			}
			var e *SyntaxError
			if !errors.As(err, &e) || !strings.Contains(err.Error(), c.want) {
				t.Fatalf("error %v, want %q", err, c.want)
			}
		})
	}
}

func manyParts(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `<part id="P%d"/>`, i)
	}
	return b.String()
}

// What is damaged and can be read over leaves the rest as it is.
func TestWarnings(t *testing.T) {
	good := quarter("C", 4)
	for _, c := range []struct {
		name, content, warning string
		notes                  int
	}{
		{"nothing", good, "", 1},
		{"no duration", `<note><pitch><step>C</step><octave>4</octave></pitch></note>` + good, "lasts no time", 1},
		{"bad duration", noteOf("C", 4, -1, "") + good, "", 1},
		{"bad step", quarter("H", 4), `step must be A to G, found "H"`, 1},
		{"too high", quarter("B", 9) + good, "MIDI note 131", 1},
		{"chord of nothing", noteOf("C", 4, 1, "<chord/>"), "no note before it", 1},
		{"back too far", good + "<backup><duration>3</duration></backup>" + good, "beyond the start of the measure, by 2", 2},
		{"bad divisions", "<attributes><divisions>0</divisions></attributes>" + good, "divisions must be a number from 0.001", 1},
		{"bad beats", "<attributes><time><beats>x</beats><beat-type>4</beat-type></time></attributes>" + good, `beats must be a whole number from 1 to 1000, found "x"`, 1},
		{"bad tempo", `<sound tempo="fast"/>` + good, `tempo must be a number from 5 to 2000, found "fast"`, 1},
		{"bad times", `<barline><repeat direction="backward" times="99"/></barline>` + good, "times must be a whole number from 0 to 63", 2},
		{"open slur", noteOf("C", 4, 1, slurOf(1, "start")) + good, "slurs are not ended or end where none began; 1 were", 2},
		{"slur from nowhere", noteOf("C", 4, 1, slurOf(1, "stop")), "slurs are not ended or end where none began; 1 were", 1},
		{"measure-repeat", `<attributes><measure-style><measure-repeat type="start">1</measure-repeat></measure-style></attributes>` + good, "write them out", 1},
		{"unknown instrument", noteOf("C", 4, 1, `<instrument id="I9"/>`), `instrument "I9" is not in the part list`, 1},
		{"bad hairpin", direction(`<wedge type="crescendo" number="99"/>`) + good + dynamicOf("f"), "a hairpin's number must be a whole number from 1 to 16", 1},
		{"drawn metronome", `<direction><direction-type><metronome><metronome-note/></metronome></direction-type></direction>` + good, "drawn with notes", 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := read(t, measureOf(c.content))
			if c.name == "bad duration" {
				if len(d.Warnings) != 2 {
					t.Errorf("warnings %q, want of the duration and of the note", d.Warnings)
				}
			} else {
				wantWarning(t, d, c.warning)
			}
			if len(d.Score.Notes) != c.notes {
				t.Errorf("%d notes, want %d", len(d.Score.Notes), c.notes)
			}
			for i := range d.Score.Notes {
				if m := d.Score.Notes[i].Marks; m != 0 {
					t.Errorf("note %d has the marks %q", i, markText(m))
				}
			}
		})
	}
}

func TestWarningsAreBounded(t *testing.T) {
	d := read(t, measureOf(strings.Repeat(quarter("H", 4), 3*maxWarnings)))
	if n := len(d.Warnings); n != maxWarnings+1 || !strings.HasSuffix(d.Warnings[maxWarnings], "left out") {
		t.Errorf("%d warnings, the last %q", n, d.Warnings[n-1])
	}
}

// Each part without a channel has one of its own, but the tenth, and fifteen a port.
func TestChannels(t *testing.T) {
	text := "<score-timewise><measure>" + manyParts(31) + "</measure></score-timewise>"
	d := read(t, text)
	for _, want := range []Instrument{{Part: 8, Channel: 8}, {Part: 9, Channel: 10}, {Part: 14, Channel: 15}, {Part: 15, Port: 1}, {Part: 30, Port: 2}} {
		if got := d.Instruments[want.Part]; got != want {
			t.Errorf("instrument %+v, want %+v", got, want)
		}
	}
	if name := d.Score.Parts[30]; name != "Part 31" {
		t.Errorf("part name %q", name)
	}
}

// The part list says what an instrument starts with; what a sound says later is of use
// where it does not.
func TestSoundOfInstruments(t *testing.T) {
	list := func(s string) string {
		return strings.Replace(measureOf(`<sound><midi-device id="I" port="3"/><midi-instrument id="I"><midi-channel>5</midi-channel><midi-program>46</midi-program></midi-instrument></sound>`+quarter("C", 4)),
			"</part-name>", "</part-name>"+s, 1)
	}
	for _, c := range []struct {
		list string
		want Instrument
	}{
		{"", Instrument{Port: 2, Channel: 4, Program: 46}},
		{`<score-instrument id="I"/><midi-device id="I" port="1"/><midi-instrument id="I"><midi-channel>1</midi-channel><midi-program>41</midi-program></midi-instrument>`, Instrument{Program: 41}},
	} {
		if got := read(t, list(c.list)).Instruments[0]; got != c.want {
			t.Errorf("instrument %+v, want %+v", got, c.want)
		}
	}
}

// mxl packs files in the order of their names.
func mxl(t *testing.T, files ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i < len(files); i += 2 {
		w, err := z.Create(files[i])
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write([]byte(files[i+1])); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestManyPacked(t *testing.T) {
	score := measureOf(quarter("C", 4))
	container := func(name string) string {
		return `<container><rootfiles><rootfile full-path="` + name + `"/><rootfile full-path="other.xml"/></rootfiles></container>`
	}
	many := []string{"a.xml", score}
	for i := range maxEntries {
		many = append(many, fmt.Sprintf("%d.png", i), "")
	}
	for _, c := range []struct {
		name  string
		files []string
		want  string // in the error; empty if it is read
	}{
		{"as it should be", []string{contents, container("a.xml"), "other.xml", "", "a.xml", score}, ""},
		{"without a list", []string{"a.musicxml", score, "page.png", ""}, ""},
		{"two without a list", []string{"a.xml", score, "b.xml", score}, "holds 2 files that may be the score"},
		{"nothing in the list", []string{contents, "<container/>", "a.xml", score}, "names no score"},
		{"not there", []string{contents, container("b.xml"), "a.xml", score}, `names "b.xml" as its score`},
		{"a bomb", []string{"a.xml", score + strings.Repeat(" ", 10<<20)}, "unpacks to over"},
		{"a list too long", []string{contents, container("a.xml") + strings.Repeat(" ", 2*maxContents), "a.xml", score}, "unpacks to over"},
		{"many files", many, "over 1000"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, err := Read(mxl(t, c.files...))
			switch {
			case c.want == "" && err != nil:
				t.Fatal(err)
			case c.want == "" && len(d.Score.Notes) != 1:
				t.Errorf("%d notes, want 1", len(d.Score.Notes))
			case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
				t.Errorf("error %v, want %q", err, c.want)
			}
		})
	}
	if _, err := Read(append([]byte("PK\x03\x04"), make([]byte, maxPacked)...)); err == nil || !strings.Contains(err.Error(), "over 33554432 bytes") {
		t.Errorf("a large file gives the error %v", err)
	}
	cut := mxl(t, "a.xml", score)
	if _, err := Read(cut[:len(cut)-30]); err == nil || !strings.Contains(err.Error(), "cannot be unpacked") {
		t.Errorf("a cut file gives the error %v", err)
	}
}

func TestReadFileNamesThePath(t *testing.T) {
	if _, err := ReadFile(folder + "/README.md"); err == nil || !strings.Contains(err.Error(), "README.md: ") {
		t.Errorf("error %v", err)
	}
}

// Encodings give the same text.
func TestEncodings(t *testing.T) {
	for _, c := range []struct{ name, text string }{
		{"UTF-8 with a mark", "\xEF\xBB\xBF" + measureOf("")},
		{"a document type", `<!DOCTYPE score-partwise SYSTEM "partwise.dtd">` + measureOf("")},
		{"UTF-16, little end first, without a mark", wideOf(measureOf(""), 0, 1)},
		{"UTF-16, big end first, without a mark", wideOf(measureOf(""), 1, 0)},
		{"UTF-16, big end first", "\xFE\xFF" + wideOf(`<?xml version="1.0" encoding="UTF-16"?>`+measureOf(""), 1, 0)},
		{"ISO-8859-1", `<?xml version="1.0" encoding="ISO-8859-1"?>` + strings.Replace(measureOf(""), "One", "\xC4\xFF", 1)},
	} {
		t.Run(c.name, func(t *testing.T) {
			want := "One"
			if c.name == "ISO-8859-1" {
				want = "Äÿ"
			}
			if got := read(t, c.text).Score.Parts[0]; got != want {
				t.Errorf("part name %q, want %q", got, want)
			}
		})
	}
}

// wideOf is ASCII as UTF-16, each byte at one place of its two.
func wideOf(text string, at, zero int) string {
	b := make([]byte, 2*len(text))
	for i := range len(text) {
		b[2*i+at], b[2*i+zero] = text[i], 0
	}
	return string(b)
}
