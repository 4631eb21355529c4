package rtmidi

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

func TestRemarks(t *testing.T) {
	var r remarks
	if got := r.take(false); len(got) != 0 {
		t.Errorf("nothing was said: %q", got)
	}
	const lost, why = "MidiInAlsa::alsaMidiHandler: unknown MIDI input error!", "System reports: Resource temporarily unavailable"
	for range 3 {
		r.add(lost)
		r.add(why)
		r.add("snd_seq_event_input_feed: poll: Interrupted system call") // and this loses nothing
		r.add(lost)
		r.add(why)
	}
	r.add("snd_seq_hw_open: open /dev/snd/seq failed: No such file or directory")
	want := []string{
		"MIDI that came in was lost, as this machine was too busy to take it: if notes hang, run swellbox panic (3 times)",
		`the MIDI driver says "snd_seq_hw_open: open /dev/snd/seq failed: No such file or directory"`,
	}
	if got := r.take(false); !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	for i := range maxRemarks + 2 {
		r.add(fmt.Sprintf("remark number %d", i))
		r.add("remark number 0")
	}
	got := r.take(false)
	if len(got) != maxRemarks+1 || got[0] != fmt.Sprintf(`the MIDI driver says "remark number 0" (%d times)`, maxRemarks+3) || got[maxRemarks] != "the MIDI driver says 2 things more" {
		t.Errorf("%q", got)
	}
	if got := r.take(false); len(got) != 0 {
		t.Errorf("said again: %q", got)
	}
}

// What the kernel counts is told by who reads the count, and by nobody twice.
func TestALossThatIsCountedIsNoRemark(t *testing.T) {
	for _, counted := range []bool{false, true} {
		var r remarks
		r.add("MidiInAlsa::alsaMidiHandler: unknown MIDI input error!")
		r.add("MidiInAlsa::alsaMidiHandler: MIDI input buffer overrun!")
		r.add("snd_seq_hw_open: open /dev/snd/seq failed: No such file or directory")
		want := 3
		if counted {
			want = 1
		}
		if got := r.take(counted); len(got) != want || !strings.Contains(got[want-1], "snd_seq_hw_open") {
			t.Errorf("counted %v: %q", counted, got)
		}
		if got := r.take(false); len(got) != 0 {
			t.Errorf("counted %v: said again: %q", counted, got)
		}
	}
}
