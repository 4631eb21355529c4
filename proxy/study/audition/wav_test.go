package audition

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/go-audio/wav"
	"swellbox/expr"
)

// written is a take as a file.
func written(t *testing.T, take *Take, gain float64) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "take.wav")
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := take.WriteWAV(f, gain); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return name
}

// read is a file's samples by the library, left and right in turn.
func read(t *testing.T, name string) []int {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	d := wav.NewDecoder(f)
	buf, err := d.FullPCMBuffer()
	if err != nil {
		t.Fatal(err)
	}
	if d.SampleRate != SampleRate || d.NumChans != 2 || d.BitDepth != bitDepth || d.WavAudioFormat != pcm {
		t.Errorf("the file has %d Hz, %d channels, %d bits, format %d", d.SampleRate, d.NumChans, d.BitDepth, d.WavAudioFormat)
	}
	return buf.Data
}

func top(data []int) int {
	top := 0
	for _, v := range data {
		top = max(top, v, -v)
	}
	return top
}

// twoTakes are a soft and a loud one of the same music.
// They are played once, as that takes a while with the race detector, and not to be changed.
func twoTakes(t *testing.T) (soft, loud *Take) {
	t.Helper()
	theTakes.once.Do(func() { theTakes.soft, theTakes.loud = playTwoTakes(t) })
	if theTakes.loud == nil {
		t.Fatal("the takes could not be played")
	}
	return theTakes.soft, theTakes.loud
}

var theTakes struct {
	once       sync.Once
	soft, loud *Take
}

func playTwoTakes(t *testing.T) (soft, loud *Take) {
	t.Helper()
	const length = 1500 * time.Millisecond
	parts := orchestra()
	events := tutti(parts, length)
	render := func(velocity func(byte) byte) *Take {
		var played []expr.Event
		for _, p := range parts {
			played = append(played, expr.Short(0, uint16(p.Port), 0xB0|byte(p.Channel), 7, 127))
		}
		for _, e := range events {
			if e.IsNoteOn() {
				e.Msg[2] = velocity(e.Msg[2])
			}
			played = append(played, e)
		}
		take, err := Render(t.Context(), parts, played, length, nil)
		if err != nil {
			t.Fatal(err)
		}
		return take
	}
	return render(func(v byte) byte { return v / 2 }), render(func(byte) byte { return 127 })
}

func TestManyTakesHaveOneGain(t *testing.T) {
	soft, loud := twoTakes(t)
	normal := math.Pow(10, normalDB/20.0)
	gain := CommonGain(soft, loud)
	if gain != CommonGain(loud, soft) || gain != CommonGain(loud) {
		t.Error("the common gain is not that of the loudest take")
	}
	if gain >= normal {
		t.Fatalf("the loud take, peak %.2f, is too soft to need less than the normal gain", loud.Peak())
	}
	if g := CommonGain(soft); g != normal {
		t.Errorf("a soft take is written at a gain of %g, want the normal %g", g, normal)
	}
	if g := CommonGain(); g != normal {
		t.Errorf("no take at all has a gain of %g, want %g", g, normal)
	}
	softData, loudData := read(t, written(t, soft, gain)), read(t, written(t, loud, gain))
	limit := int(32768 * math.Pow(10, -1./20))
	for _, data := range [][]int{softData, loudData} {
		if top(data) > limit {
			t.Errorf("a written peak is %d, over -1 dBFS (%d)", top(data), limit)
		}
	}
	if top(loudData) < limit-8 {
		t.Errorf("the loudest peak is %d, want just under %d", top(loudData), limit)
	}
	near(t, "soft under loud in the files, dB", 20*math.Log10(float64(top(softData))/float64(top(loudData))),
		20*math.Log10(soft.Peak()/loud.Peak()), .02)
}

func TestWrittenSamples(t *testing.T) {
	take, _ := twoTakes(t)
	gain := CommonGain(take)
	data := read(t, written(t, take, gain))
	if len(data) != 2*len(take.Left) {
		t.Fatalf("%d samples in the file, want %d", len(data), 2*len(take.Left))
	}
	for i := range take.Left {
		for ch, x := range []float32{take.Left[i], take.Right[i]} {
			if d := math.Abs(float64(data[2*i+ch]) - float64(x)*gain*32767); d > 1.5 {
				t.Fatalf("frame %d, channel %d is %d, %.2f steps from what was rendered", i, ch, data[2*i+ch], d)
			}
		}
	}
	a, errA := os.ReadFile(written(t, take, gain))
	b, errB := os.ReadFile(written(t, take, gain))
	if errA != nil || errB != nil || !bytes.Equal(a, b) {
		t.Errorf("two writings differ (%v, %v)", errA, errB)
	}
}

func TestEmptyTake(t *testing.T) {
	take, err := Render(t.Context(), orchestra(), nil, 0, nil)
	if err != nil {
		t.Fatal(err)
	}
	if data := read(t, written(t, take, CommonGain(take))); len(data) != 0 {
		t.Errorf("an empty take has %d samples", len(data))
	}
}

// nowhere is a full disk after left bytes.
type nowhere struct{ left int }

func (n *nowhere) Write(b []byte) (int, error) {
	if n.left -= len(b); n.left < 0 {
		return 0, io.ErrShortWrite
	}
	return len(b), nil
}

func (n *nowhere) Seek(int64, int) (int64, error) { return 0, nil }

func TestWhatCannotBeWritten(t *testing.T) {
	take := &Take{Left: []float32{0, 1}, Right: []float32{0, 0}}
	for _, gain := range []float64{.9, math.Inf(1), math.NaN(), -.1} { // a gain of .9 is over -1 dB
		w := &nowhere{left: 1 << 20}
		if err := take.WriteWAV(w, gain); err == nil || !strings.Contains(err.Error(), "gain of") {
			t.Errorf("gain %g: error %v", gain, err)
		}
		if w.left != 1<<20 {
			t.Errorf("gain %g: %d bytes written", gain, 1<<20-w.left)
		}
	}
	broken := &Take{Left: []float32{float32(math.NaN())}, Right: []float32{0}}
	if err := broken.WriteWAV(&nowhere{left: 1 << 20}, CommonGain(broken)); err == nil {
		t.Error("a take that is not a number was written")
	}
	for _, room := range []int{0, 20, 46} {
		if err := take.WriteWAV(&nowhere{left: room}, .5); err == nil {
			t.Errorf("a disk with %d bytes took the file", room)
		}
	}
}

// reader finds a program to read our files with, which has nothing of ours.
func reader(t *testing.T, name string) string {
	path, err := exec.LookPath(name) // python3, sox
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%s is missing: %v", name, err)
		}
		t.Skipf("SKIPPED: no %s here, so no independent reader has seen our files", name)
	}
	return path
}

func TestReadByPython(t *testing.T) {
	python := reader(t, "python3")
	take, _ := twoTakes(t)
	gain := CommonGain(take)
	name := written(t, take, gain)
	out, err := exec.Command(python, "-c", `
import array, sys, wave
w = wave.open(sys.argv[1])
s = array.array("h", w.readframes(w.getnframes()))
print(w.getframerate(), w.getnchannels(), w.getsampwidth(), w.getnframes(), max(max(s), -min(s)))
`, name).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	want := fmt.Sprintf("%d 2 2 %d %d\n", SampleRate, len(take.Left), top(read(t, name)))
	if string(out) != want {
		t.Errorf("python reads %q, want %q", out, want)
	}
}

func TestReadBySox(t *testing.T) {
	sox := reader(t, "sox")
	take, _ := twoTakes(t)
	out, err := exec.Command(sox, "--i", written(t, take, CommonGain(take))).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for _, want := range []string{"Channels       : 2", "Sample Rate    : 48000", "Precision      : 16-bit", "= 72000 samples", "16-bit Signed Integer PCM"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("sox does not say %q:\n%s", want, out)
		}
	}
}
