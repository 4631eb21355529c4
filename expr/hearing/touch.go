package hearing

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/nuance"
)

// FollowTouch has a part be heard as one of a player who strikes keys: what its notes are
// among each other is known from now on. It costs memory, and is for parts that need it.
func (l *Listener) FollowTouch(part int) {
	if line := &l.lines[part]; line.scene == nil {
		line.scene = nuance.NewScene()
	}
}

// leastAhead is how far ahead notes must be heard to count as known beforehand: the sizes for
// that were fitted to a second, of which half is nearer than none. Ours.
const leastAhead = nuance.Lookahead / 2

// HearAhead tells by how much what comes in is heard before it sounds.
func (l *Listener) HearAhead(by time.Duration) { l.ahead = by >= leastAhead }

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

// touch tells the same of a note of the score by its index. A part is read when it is first
// asked for: most parts of a score have no keys to strike.
func (r *reading) touch(c *expr.Context, index int) {
	part := r.score.Notes[index].Part
	if r.touches == nil {
		r.touches = make([]*nuance.Reading, len(r.lines))
	}
	read := r.touches[part]
	if read == nil {
		read = nuance.Read(r.score, part)
		r.touches[part] = read
	}
	if number, ok := read.Number(index); ok {
		c.Leads = read.Scene().Touch(number, read.Known(), &c.Touch)
	}
}
