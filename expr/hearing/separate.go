package hearing

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/voices"
)

// separate finds the voice of a new tone where several sound on the channel.
func (l *Line) separate(t *Tone) {
	if l.voicesFault != nil {
		return
	}
	defer expr.Lose(&l.voicesFault, expr.OfVoices)
	l.trial.Of(expr.OfVoices)
	if l.separator == nil {
		if !l.polyphonic || len(l.held) == 0 {
			return
		}
		l.separator = voices.NewSeparator()
		for _, h := range l.held { // what it is to sound with
			if b := l.Tone(h.tone); b != nil && !h.released {
				l.tell(b)
			}
		}
	}
	l.tell(t)
}

// tell has the separator hear a tone.
func (l *Line) tell(t *Tone) {
	voice, id := l.separator.Note(t.On, int(t.Key), int(t.velocity))
	t.separated, t.voice = id, uint8(max(voice, 0))
}

// tellEnd has the separator hear a note end.
func (l *Line) tellEnd(key uint8, now time.Duration) {
	if l.separator == nil || l.voicesFault != nil {
		return
	}
	defer expr.Lose(&l.voicesFault, expr.OfVoices)
	l.separator.Off(now, int(key))
}

// Place keeps what the separator has found of a tone.
func (l *Line) Place(t *Tone) {
	if t.separated == 0 || l.voicesFault != nil {
		return
	}
	defer expr.Lose(&l.voicesFault, expr.OfVoices)
	if p, ok := l.separator.VoiceOf(t.separated); ok {
		t.Role, t.Voices = roles[p.Role], uint8(p.Voices)
	}
}

var roles = [...]expr.Role{voices.Alone: expr.Alone, voices.Melody: expr.Melody, voices.Inner: expr.Inner, voices.Bass: expr.Bass}
