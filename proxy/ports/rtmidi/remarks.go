package rtmidi

import (
	"errors"
	"fmt"
	"strings"
	"sync"
)

// maxRemarks is how many different remarks wait to be asked for. Our choice.
const maxRemarks = 16

// said is what the libraries below would have printed on the user's terminal. They are of
// the whole process, and so is this.
var said remarks

// remarks collects lines. It is safe for any thread, the reading ones among them, and holds none
// of them up.
type remarks struct {
	mu      sync.Mutex
	lines   []remark
	more    int // that found no room
	signals int // that were spoken of, and whose consequence was not yet
}

type remark struct {
	words string
	times int
}

// RtMidi's reading thread says unreadable when ALSA gave it an error where a message was to be. That is
// so when ALSA has thrown away all that waited, as there was no room for more (the first read
// reports it to nobody, the second finds nothing), or, harmlessly, when a signal came, of which ALSA
// speaks first. Then it says how the second read failed, which tells nobody anything.
const (
	unreadable  = "unknown MIDI input error"
	interrupted = "poll: Interrupted system call"
	afterwards  = "System reports: "
)

// add keeps a line, or counts it when it waits already.
func (r *remarks) add(line string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	switch {
	case strings.HasPrefix(line, afterwards):
		return
	case strings.Contains(line, interrupted):
		r.signals++
		return
	case strings.Contains(line, unreadable) && r.signals > 0:
		r.signals--
		return
	}
	for i := range r.lines {
		if r.lines[i].words == line {
			r.lines[i].times++
			return
		}
	}
	if len(r.lines) == maxRemarks {
		r.more++
		return
	}
	r.lines = append(r.lines, remark{line, 1})
}

// take gives a sentence for each line that came since the last call. What was lost goes without one
// where it is counted: who asks for the count says more of it.
func (r *remarks) take(counted bool) (sentences []string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, l := range r.lines {
		if counted && lost(l.words) {
			continue
		}
		s := sentence(l.words)
		if l.times > 1 {
			s += fmt.Sprintf(" (%d times)", l.times)
		}
		sentences = append(sentences, s)
	}
	if r.more > 0 {
		sentences = append(sentences, fmt.Sprintf("the MIDI driver says %d things more", r.more))
	}
	r.lines, r.more = nil, 0
	return sentences
}

// sentence says what a line of the libraries means for the music.
func sentence(line string) string {
	if lost(line) {
		return "MIDI that came in was lost, as this machine was too busy to take it: if notes hang, run swellbox panic"
	}
	return strings.Replace(driverSaid(errors.New(line)).Error(), "the driver", "the MIDI driver", 1)
}

// lost reports that a line means lost messages.
func lost(line string) bool {
	return strings.Contains(line, unreadable) || strings.Contains(line, "input buffer overrun")
}

// Said is [ports.Talker]'s.
func (s *System) Said() []string { return said.take(len(s.state()) > 0) }
