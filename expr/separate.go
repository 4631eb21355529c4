package expr

import "swellbox/expr/voices"

// separate finds the voice of a new tone where several sound on the channel.
func (l *line) separate(t *tone) {
	if l.separator == nil {
		if !l.polyphonic || len(l.held) == 0 {
			return
		}
		l.separator = voices.NewSeparator()
		for _, h := range l.held { // what it is to sound with
			if b := l.tone(h.tone); b != nil && !h.released {
				l.tell(b)
			}
		}
	}
	l.tell(t)
}

// tell has the separator hear a tone.
func (l *line) tell(t *tone) {
	voice, id := l.separator.Note(t.on, int(t.key), int(t.velocity))
	t.separated, t.voice = id, uint8(max(voice, 0))
}

// place keeps what the separator has found of a tone.
func (l *line) place(t *tone) {
	if t.separated == 0 {
		return
	}
	if p, ok := l.separator.VoiceOf(t.separated); ok {
		t.role, t.voices = roles[p.Role], uint8(p.Voices)
	}
}

var roles = [...]Role{voices.Alone: Alone, voices.Melody: Melody, voices.Inner: Inner, voices.Bass: Bass}
