package main

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/tell"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// The demonstration as a user gets it. It is run once, as it takes its time.
func TestManyNotesOfTheDemo(t *testing.T) {
	d := atDesktop(t)
	status, out, errs := d.run("demo", "--details")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	t.Run("files", func(t *testing.T) {
		entries, err := os.ReadDir(filepath.Join(d.dir, "demo"))
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		for _, e := range entries {
			names = append(names, e.Name())
		}
		want := []string{"balance.html", "before-after.svg", "curves.svg", "raw.mid", "raw.wav", "shaped.mid", "shaped.wav", "trumpet.svg"}
		if !slices.Equal(names, want) {
			t.Errorf("wrote %v, want %v", names, want)
		}
		for _, name := range []string{"before-after.svg", "curves.svg"} {
			if svg := d.read("demo/" + name); !strings.Contains(svg, "<svg") || !strings.HasSuffix(strings.TrimSpace(svg), "</svg>") {
				t.Errorf("%s is no whole SVG", name)
			}
		}
	})
	t.Run("words", func(t *testing.T) {
		for _, want := range []string{"Trumpet 1", "Violins I", "habits applied", "each habit alone", "rubato", "Written to demo in", "Now play these two files", "demo/raw.wav ", "demo/shaped.wav ", "Start quiet"} {
			if !strings.Contains(out, want) {
				t.Errorf("does not print %q", want)
			}
		}
		// Into a log, progress is a line at the start and one at the end.
		lines := strings.Split(strings.TrimSuffix(errs, "\n"), "\n")
		if strings.Contains(errs, "\r") || len(lines) != 4 || lines[0] != "playing raw" || !strings.HasPrefix(lines[3], "playing shaped: done in ") {
			t.Errorf("the error side has %q", errs)
		}
	})
	t.Run("MIDI", func(t *testing.T) {
		notes := func(name string) (n int) {
			f, err := smf.ReadFile(filepath.Join(d.dir, "demo", name))
			if err != nil {
				t.Fatal(err)
			}
			for _, tr := range f.Tracks {
				for _, e := range tr.Events {
					if noteOn(e.Data) {
						n++
					}
				}
			}
			return n
		}
		if raw, shaped := notes("raw.mid"), notes("shaped.mid"); raw != shaped || raw < 500 {
			t.Errorf("%d notes raw, %d shaped", raw, shaped)
		}
	})
	t.Run("sound", func(t *testing.T) {
		raw, shaped := readWAV(t, d.read("demo/raw.wav")), readWAV(t, d.read("demo/shaped.wav"))
		if raw.frames != shaped.frames || raw.rate != shaped.rate || raw.frames < 60*raw.rate {
			t.Errorf("raw has %d frames at %d Hz, shaped %d at %d Hz; want as many, over a minute", raw.frames, raw.rate, shaped.frames, shaped.rate)
		}
		for name, w := range map[string]sound{"raw": raw, "shaped": shaped} {
			if w.peak > -1 || w.peak < -30 {
				t.Errorf("%s peaks at %.2f dBFS, want at most -1 and something to hear", name, w.peak)
			}
		}
	})
}

func TestDemoInJSON(t *testing.T) {
	var out, errs bytes.Buffer
	p := &program.Program{Output: tell.Output{Out: &out, Err: &errs}, Settings: settings.Settings{JSON: true}}
	report := &offline.Report{NotesIn: 2, NotesOut: 2, Parts: []perform.PartReport{{Name: "Flute 1"}}, Warnings: []string{"it is late"}}
	if err := printDemo(p, &demonstrated{report: report, worst: "not for scripts"}); err != nil {
		t.Fatal(err)
	}
	var back offline.Report
	if err := json.Unmarshal(out.Bytes(), &back); err != nil {
		t.Fatal(err)
	}
	if back.NotesIn != 2 || back.Parts[0].Name != "Flute 1" || back.Warnings[0] != "it is late" || errs.Len() > 0 {
		t.Errorf("printed %s and %s", &out, &errs)
	}
}

// sound is what a WAV file holds.
type sound struct {
	rate, frames int
	peak         float64 // dBFS
}

// readWAV reads a file of 16-bit PCM in two channels, chunk by chunk.
func readWAV(t *testing.T, file string) (s sound) {
	t.Helper()
	b := []byte(file)
	if len(b) < 44 || string(b[:4]) != "RIFF" || string(b[8:12]) != "WAVE" || int(binary.LittleEndian.Uint32(b[4:])) != len(b)-8 {
		t.Fatal("no RIFF file of WAVE, or of another length than it says")
	}
	peak := 0
	for b = b[12:]; len(b) >= 8; {
		size := int(binary.LittleEndian.Uint32(b[4:]))
		kind, body := string(b[:4]), b[8:8+size]
		b = b[8+size+size%2:]
		switch kind {
		case "fmt ":
			le := binary.LittleEndian
			if le.Uint16(body) != 1 || le.Uint16(body[2:]) != 2 || le.Uint16(body[14:]) != 16 {
				t.Fatalf("format % X, want PCM of two channels and 16 bits", body)
			}
			s.rate = int(le.Uint32(body[4:]))
		case "data":
			s.frames = size / 4
			for i := 0; i+1 < size; i += 2 {
				x := int(int16(binary.LittleEndian.Uint16(body[i:])))
				peak = max(peak, x, -x)
			}
		}
	}
	s.peak = 20 * math.Log10(float64(peak)/32768)
	return s
}
