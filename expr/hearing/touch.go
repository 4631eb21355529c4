package hearing

import (
	"swellbox/expr"
	"swellbox/expr/nuance"
)

// strike has a note that begins be one of the part's scene.
func (l *Line) strike(number int64) {
	if l.scene == nil || l.phrasesFault != nil {
		return
	}
	defer expr.Lose(&l.phrasesFault, expr.OfPhrases)
	t := l.Tone(number)
	t.struck = 1 + l.scene.Begin(&nuance.Note{On: t.On, Off: nuance.Sounds, Key: t.Key})
}

// lift has it end.
func (l *Line) lift(t *Tone) {
	if l.scene != nil && t.struck > 0 {
		l.scene.End(t.struck-1, t.Off)
	}
}

// touch tells what each habit of the touch adds to a note, as far as it has been heard.
func (l *Line) touch(c *expr.Context, t *Tone, ahead bool) {
	if l.scene == nil || t.struck == 0 {
		return
	}
	known := nuance.Sounded
	if ahead {
		known = nuance.Ahead
	}
	c.Leads = l.scene.Touch(t.struck-1, known, &c.Touch)
}
