package rtmidi

import (
	"bytes"
	"context"
	"errors"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/proxy/ports"
)

// openOut opens a virtual output on the fake.
func openOut(t *testing.T, lib *fakeLibrary, goos string) ports.Out {
	t.Helper()
	lib.ports[outputs] = []string{"Sampler 20:0"}
	out, err := lib.system(goos).OpenOut("Sampler", false)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func sysex(n int) []byte {
	b := bytes.Repeat([]byte{1}, n)
	b[0], b[n-1] = 0xF0, 0xF7
	return b
}

func TestPieces(t *testing.T) {
	for _, c := range []struct {
		goos string
		n    int
		want []int
	}{
		{"linux", 256, []int{256}},
		{"linux", 257, []int{256, 1}},
		{"linux", 600, []int{256, 256, 88}},
		{"windows", 600, []int{600}},
		{"darwin", 600, []int{600}},
	} {
		synctest.Test(t, func(t *testing.T) {
			lib := &fakeLibrary{}
			out := openOut(t, lib, c.goos)
			b := sysex(c.n)
			if err := out.Send(b); err != nil {
				t.Fatal(err)
			}
			var got []int
			for _, p := range lib.last().sent {
				got = append(got, len(p))
			}
			if !slices.Equal(got, c.want) || !bytes.Equal(slices.Concat(lib.last().sent...), b) {
				t.Errorf("%s, %d bytes: pieces of %d, want %d", c.goos, c.n, got, c.want)
			}
		})
	}
}

func TestSendErrors(t *testing.T) {
	lib := &fakeLibrary{}
	out := openOut(t, lib, "linux")
	c := lib.last()
	for _, b := range [][]byte{nil, {0x90}, {0x40, 1}, {0xF0, 1}} {
		if err := out.Send(b); err == nil || !strings.Contains(err.Error(), "not one whole message") {
			t.Errorf("Send(% X): %v", b, err)
		}
	}
	if err := out.Send(note); err != nil || len(c.sent) != 1 {
		t.Fatalf("what was refused did harm: %v, % X", err, c.sent)
	}
	c.failed = errors.New("error sending MIDI message.\x7f")
	if err := out.Send(note); err == nil || !strings.Contains(err.Error(), `"Sampler 20:0" is lost, close it and open it again: the driver says "error sending MIDI message."`) {
		t.Errorf("%v", err)
	}
	c.failed = nil
	if err := out.Send(note); err == nil || len(c.sent) != 2 {
		t.Errorf("a lost output sent again: %v, %d messages", err, len(c.sent))
	}
	if err := out.Close(); err != nil {
		t.Error(err)
	}
	if err := out.Close(); err != nil {
		t.Error(err)
	}
	if log := c.log; !slices.Equal(log, []string{"open 0 out", "destroy"}) {
		t.Errorf("%q", log)
	}
	if err := out.Send(note); !errors.Is(err, os.ErrClosed) {
		t.Errorf("Send after Close: %v", err)
	}
	if err := out.Drain(t.Context()); err != nil {
		t.Errorf("Drain after Close: %v", err)
	}
}

// burstOf sends so many note-offs and one long system exclusive message.
func burstOf(t *testing.T, out ports.Out, notes, bytes int) time.Duration {
	t.Helper()
	begun := time.Now()
	for i := range notes {
		if err := out.Send([]byte{0x80 | byte(i%16), byte(i / 16 % 128), 0}); err != nil {
			t.Fatal(err)
		}
	}
	if bytes > 0 {
		if err := out.Send(sysex(bytes)); err != nil {
			t.Fatal(err)
		}
	}
	return time.Since(begun)
}

func TestPaceForReader(t *testing.T) {
	for _, c := range []struct {
		size, speed float64       // cells, cells a second
		most        time.Duration // for 2048 notes and 391 pieces of up to 11 cells, with room to spare
	}{
		{200, 20_000, 400 * time.Millisecond},
		{200, 1000, 7 * time.Second}, // slower than a cable
		{2000, 1000, 5 * time.Second},
		{20, 20_000, 800 * time.Millisecond},
	} {
		synctest.Test(t, func(t *testing.T) {
			r := &receiver{size: c.size, speed: c.speed}
			lib := &fakeLibrary{reader: r}
			took := burstOf(t, openOut(t, lib, "linux"), 2048, 100_000)
			if r.lost > 0 {
				t.Errorf("%+v: lost %d", c, r.lost)
			}
			if took > c.most {
				t.Errorf("%+v: it took %v", c, took)
			}
		})
	}
	synctest.Test(t, func(t *testing.T) { // the receiver of this test can be overrun
		r := &receiver{size: 200, speed: 20_000}
		out := openOut(t, &fakeLibrary{reader: r}, "linux")
		out.(*output).pace = nil
		if burstOf(t, out, 2048, 0); r.lost == 0 {
			t.Error("the false receiver is never overrun")
		}
	})
}

// Several outputs lead to one program, and do not know of each other.
func TestPaceForManyOutputs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := &receiver{size: 200, speed: 20_000}
		lib := &fakeLibrary{reader: r}
		s := lib.system("linux")
		var outs []ports.Out
		for range 16 {
			out, err := s.OpenOut("shaped", true)
			if err != nil {
				t.Fatal(err)
			}
			outs = append(outs, out)
		}
		for range 100 {
			for _, out := range outs {
				burstOf(t, out, 3, 30)
			}
		}
		if r.lost > 0 {
			t.Errorf("lost %d", r.lost)
		}
	})
}

// A program that starts to listen later is seen in time.
func TestPaceForNewReader(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		lib := &fakeLibrary{}
		out := openOut(t, lib, "linux")
		if took := burstOf(t, out, 1000, 0); took > 0 {
			t.Errorf("with nobody listening, it took %v", took)
		}
		lib.reader = &receiver{size: 200, speed: 20_000}
		if burstOf(t, out, 2048, 0); lib.reader.lost > 0 {
			t.Errorf("lost %d", lib.reader.lost)
		}
	})
}

// Music does not wait: four times what a cable could carry passes, with few looks.
func TestPaceLeavesMusicAlone(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		lib := &fakeLibrary{reader: &receiver{size: 200, speed: 20_000}}
		out := openOut(t, lib, "linux")
		lib.looks = 0
		for range 1000 {
			if took := burstOf(t, out, 8, 0); took > 0 {
				t.Fatalf("eight messages waited for %v", took)
			}
			time.Sleep(2 * time.Millisecond)
		}
		if most := 8000/maxUnseen + 1; lib.looks > most {
			t.Errorf("%d looks in 8000 messages, want at most %d", lib.looks, most)
		}
	})
}

// What is sent without waiting arrives whole and in order, never overruns a receiver, and mostly needs
// nobody who waits, as somebody looks beside it in time.
func TestTrySend(t *testing.T) {
	for _, size := range []float64{20, 200, 2000} {
		synctest.Test(t, func(t *testing.T) {
			lib := &fakeLibrary{reader: &receiver{size: size, speed: 20_000}}
			out := openOut(t, lib, "linux")
			waited := 0
			for i := range 4000 {
				m := []byte{0x90, byte(i % 128), byte(1 + i/128)}
				sent, err := out.(ports.Prompt).TrySend(m)
				if err == nil && !sent {
					waited++
					err = out.Send(m)
				}
				if err != nil {
					t.Fatal(err)
				}
				if i%8 == 7 {
					time.Sleep(2 * time.Millisecond)
				}
			}
			for i, m := range lib.last().sent {
				if want := []byte{0x90, byte(i % 128), byte(1 + i/128)}; !bytes.Equal(m, want) {
					t.Fatalf("message %d is % X, want % X", i, m, want)
				}
			}
			if n := len(lib.last().sent); n != 4000 || lib.reader.lost > 0 {
				t.Errorf("%g cells: %d of 4000 sent, %d lost", size, n, lib.reader.lost)
			}
			if size >= 200 && waited > 40 {
				t.Errorf("%g cells: %d of 4000 messages had to wait", size, waited)
			}
		})
	}
}

// Where nobody shows how much room there is, and for long messages, somebody has to wait.
func TestTrySendDeclines(t *testing.T) {
	try := func(goos string, m []byte) bool {
		lib := &fakeLibrary{}
		out := openOut(t, lib, goos)
		if err := out.Send(note); err != nil { // the first look
			t.Fatal(err)
		}
		sent, err := out.(ports.Prompt).TrySend(m)
		if err != nil || sent != (len(lib.last().sent) == 2) {
			t.Errorf("%s, % X: %v, %v, and %d messages sent", goos, m, sent, err, len(lib.last().sent))
		}
		return sent
	}
	if !try("linux", note) || try("darwin", note) || try("windows", note) || try("linux", sysex(10)) || try("linux", []byte{0x90, 1}) {
		t.Error("not what can be sent without waiting is sent so")
	}
}

func TestPaceGivesUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := &receiver{size: 200} // it reads nothing
		out := openOut(t, &fakeLibrary{reader: r}, "linux")
		if took := burstOf(t, out, 1000, 0); took < patience || took > patience+10*time.Millisecond {
			t.Errorf("a receiver that does not read held the music up for %v, want %v", took, patience)
		}
		r.advance()
		r.speed, r.lost = 20_000, 0 // it reads again
		time.Sleep(10 * time.Millisecond)
		if burstOf(t, out, 2048, 0); r.lost > 0 {
			t.Errorf("after that, lost %d", r.lost)
		}
	})
}

func TestPaceForDevice(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := &receiver{device: true, size: 4096, speed: cableRate}
		out := openOut(t, &fakeLibrary{reader: r}, "linux")
		if took := burstOf(t, out, 1000, 0); took > 0 {
			t.Errorf("1000 notes fit into the buffer, and waited for %v", took)
		}
		time.Sleep(time.Second)
		took := burstOf(t, out, 0, 100_000)
		want := seconds((100_000 - deviceBuffer) / cableRate)
		if took < want-100*time.Millisecond || took > want+100*time.Millisecond || r.lost > 0 {
			t.Errorf("100 kB took %v, want %v; lost %d", took, want, r.lost)
		}
		begun := time.Now()
		if err := out.Drain(t.Context()); err != nil {
			t.Error(err)
		}
		took = time.Since(begun)
		if r.advance(); took == 0 || r.used > 1 {
			t.Errorf("drained in %v, with %g bytes left", took, r.used)
		}
	})
}

func TestPaceBlind(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := newPacer(&meter{read: func() seqState { return nil }}, 0)
		begun := time.Now()
		for range 10 * blindBurst {
			if !p.wait(nil, 3) {
				t.Fatal("stopped")
			}
		}
		if took, want := time.Since(begun), 9*nap; took != want {
			t.Errorf("%v, want %v", took, want)
		}
	})
}

// Close ends a send that waits, and does not wait for a receiver for long.
func TestCloseWhileSending(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		lib := &fakeLibrary{reader: &receiver{device: true, size: 4096, speed: cableRate}}
		out := openOut(t, lib, "linux")
		done := make(chan error)
		go func() { done <- out.Send(sysex(100_000)) }()
		synctest.Wait()
		begun := time.Now()
		if err := out.Close(); !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("Close: %v", err)
		}
		if took := time.Since(begun); took != closeWait {
			t.Errorf("Close took %v", took)
		}
		if err := <-done; !errors.Is(err, os.ErrClosed) {
			t.Errorf("Send: %v", err)
		}
	})
}

func TestDrainElsewhere(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		lib := &fakeLibrary{}
		out := openOut(t, lib, "darwin")
		begun := time.Now()
		for range 2 {
			if err := out.Drain(t.Context()); err != nil {
				t.Error(err)
			}
		}
		if took := time.Since(begun); took != 0 {
			t.Errorf("nothing was sent, and draining took %v", took)
		}
		if err := out.Send(note); err != nil {
			t.Fatal(err)
		}
		if err := out.Close(); err != nil || time.Since(begun) != grace {
			t.Errorf("Close: %v after %v, want %v", err, time.Since(begun), grace)
		}
		if n := len(lib.last().sent); n != 1 {
			t.Errorf("%d messages were sent, want 1: an empty one is an error here", n)
		}
	})
}

// What ALSA's library holds is pushed out before the port closes.
func TestClosePushes(t *testing.T) {
	lib := &fakeLibrary{}
	out := openOut(t, lib, "linux")
	for range 2 {
		if err := out.Send(note); err != nil {
			t.Fatal(err)
		}
	}
	if err := out.Close(); err != nil {
		t.Error(err)
	}
	if sent := lib.last().sent; len(sent) != 3 || len(sent[2]) != 0 {
		t.Errorf("sent % X, want two notes and an empty message", sent)
	}
}
