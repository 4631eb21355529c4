package demo

import (
	"fmt"
	"slices"
	"time"

	"swellbox/proxy/offline"
)

// Effect is what one habit does, by the messages of a performance with it and of one without.
type Effect struct {
	Habit string
	Notes int          // in which it did something, by its own account
	Parts []PartEffect // in score order
	Changes
}

// PartEffect is what a habit does in one part.
type PartEffect struct {
	Name    string
	Notes   int        // that it changed, by the messages
	Level   [][]Sample // change of level in each note, dB; the last sample is the note's end
	Start   []Sample   // by how much later each note starts, ms
	Length  []Sample   // by how much longer each sounds, ms, at its written end
	Vibrato []Sample   // depth, cents
	Pedal   []Sample   // how deep it is down, 0 to 1
	Changes Changes
}

// Changes are the least and the greatest of what changes.
type Changes struct {
	LevelDB           [2]float64
	StartMs, LengthMs [2]float64
	VibratoCents      float64 // the deepest
	Treads            int     // how often a pedal goes down
}

// join takes in what changes elsewhere.
func (c *Changes) join(other *Changes) {
	for i := range 2 {
		c.LevelDB = widened(c.LevelDB, other.LevelDB[i])
		c.StartMs = widened(c.StartMs, other.StartMs[i])
		c.LengthMs = widened(c.LengthMs, other.LengthMs[i])
	}
	c.VibratoCents = max(c.VibratoCents, other.VibratoCents)
	c.Treads += other.Treads
}

// moves reports whether a range leaves what counts as unchanged.
func moves(r [2]float64, unchanged float64) bool { return r[0] < -unchanged || r[1] > unchanged }

func (c *Changes) level() bool   { return moves(c.LevelDB, unchangedDB) }
func (c *Changes) start() bool   { return moves(c.StartMs, unchangedMs) }
func (c *Changes) length() bool  { return moves(c.LengthMs, unchangedMs) }
func (c *Changes) vibrato() bool { return c.VibratoCents >= audible }

// texts are what changes and by how much, one thing each.
func (c *Changes) texts() (out []string) {
	if c.level() {
		out = append(out, "level "+decibels(c.LevelDB[0])+" to "+decibels(c.LevelDB[1])+" dB")
	}
	if c.start() {
		out = append(out, "start "+signed(c.StartMs[0])+" to "+signed(c.StartMs[1])+" ms")
	}
	if c.length() {
		out = append(out, "length "+signed(c.LengthMs[0])+" to "+signed(c.LengthMs[1])+" ms")
	}
	if c.vibrato() {
		out = append(out, fmt.Sprintf("vibrato to %.0f cents", c.VibratoCents))
	}
	if c.Treads > 0 {
		out = append(out, count(c.Treads, "pedal change"))
	}
	if out == nil {
		return []string{"nothing"}
	}
	return out
}

// Effects compares each performance of [EachHabit] with one that lacks its habit: the first,
// marks, with the raw one, orchestra weight with marks, all others with the two. The raw one
// has none.
func Effects(solos []Solo, parts []Compared, headroomDB float64) ([]Effect, error) {
	heardOf := map[string][]heard{}
	for _, s := range solos {
		t, err := offline.NewTimeline(s.File, 0)
		if err != nil {
			return nil, err
		}
		headroom := headroomDB
		if s.Name == Raw {
			headroom = 0
		}
		heardOf[s.Name] = listen(t, parts, headroom)
	}
	var effects []Effect
	for _, s := range solos {
		without := ground[1]
		switch s.Name {
		case Raw:
			continue
		case ground[0]:
			without = Raw
		case ground[1]:
			without = ground[0]
		}
		e := Effect{Habit: s.Name}
		for _, p := range s.Report.Parts {
			if s.Name == All {
				e.Notes += int(p.Notes)
			}
			e.Notes += int(p.Habits[s.Name])
		}
		for i, part := range parts {
			e.add(part.Report.Name, &heardOf[without][i], &heardOf[s.Name][i])
		}
		effects = append(effects, e)
	}
	return effects, nil
}

// add adds what the habit does in a part.
func (e *Effect) add(name string, without, with *heard) {
	part := PartEffect{Name: name, Vibrato: with.vibrato, Pedal: with.pedal}
	for _, s := range with.pedal {
		if s.Value > 0 {
			part.Changes.Treads++
		}
	}
	for _, t := range match(without.tones, with.tones) {
		level := levelChange(t)
		start := milliseconds(t.after.on - t.before.on)
		longer := milliseconds((t.after.off - t.after.on) - (t.before.off - t.before.on))
		part.Level = append(part.Level, level)
		part.Start = append(part.Start, Sample{t.before.on, start})
		part.Length = append(part.Length, Sample{t.before.off, longer})
		own := Changes{StartMs: widened([2]float64{}, start), LengthMs: widened([2]float64{}, longer), VibratoCents: t.after.vibrato}
		for _, s := range level {
			own.LevelDB = widened(own.LevelDB, s.Value)
		}
		if own.level() || own.start() || own.length() || own.vibrato() {
			part.Notes++
		}
		part.Changes.join(&own)
	}
	e.Changes.join(&part.Changes)
	e.Parts = append(e.Parts, part)
}

// unchangedMs is the change of a time below which it counts as the same: a tick of the
// demonstration score.
const unchangedMs = 2

func widened(r [2]float64, v float64) [2]float64 { return [2]float64{min(r[0], v), max(r[1], v)} }

// levelChange is by how much a note is louder in the second performance, at each age at
// which either moves, up to where one of them ends.
func levelChange(t twin) []Sample {
	ends := min(t.before.lasts(), t.after.lasts())
	var ages []time.Duration
	for _, course := range [][]Sample{t.before.course, t.after.course} {
		for _, s := range course {
			if s.At < ends {
				ages = append(ages, s.At)
			}
		}
	}
	slices.Sort(ages)
	var change []Sample
	for _, age := range slices.Compact(append(ages, ends)) {
		db := valueAt(t.after.course, age) - valueAt(t.before.course, age)
		change = append(change, Sample{t.before.on + age, db})
	}
	return change
}

// strongest is the part to show a habit in: the preferred one if the habit changes anything
// there, else that in which it changes most.
func (e *Effect) strongest(preferred string) *PartEffect {
	best := &PartEffect{}
	for i := range e.Parts {
		p := &e.Parts[i]
		if p.Name == preferred && p.Notes > 0 {
			return p
		}
		if best.Name == "" || p.Notes+p.Changes.Treads > best.Notes+best.Changes.Treads {
			best = p
		}
	}
	return best
}
