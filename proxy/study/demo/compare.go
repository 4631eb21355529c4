package demo

import (
	"cmp"
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/expr/habits"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// Compared is one part of two performances.
type Compared struct {
	Report  perform.PartReport
	Profile *expr.Profile
	Voice   string // as the demonstration sounds it
}

// Compare reads the raw and the shaped performance of a piece as their sampler
// would sound them, and tells for each part what differs: as a picture's rows and as
// a table's. Levels are dB re the mf of their own performance; that the shaped one as
// a whole lies headroomDB lower is left out, so that what is seen is the shaping.
func Compare(raw, shaped *offline.Timeline, parts []Compared, headroomDB float64) ([]PartView, []Row) {
	r := listen(raw, parts, 0)
	s := listen(shaped, parts, headroomDB)
	views := make([]PartView, len(parts))
	rows := make([]Row, len(parts))
	for i, part := range parts {
		twins := match(r[i].tones, s[i].tones)
		views[i] = PartView{
			Name: part.Report.Name, Profile: part.Report.Profile,
			Raw: r[i].level, Shaped: s[i].level, Vibrato: s[i].vibrato, Pedal: s[i].pedal,
			Late: lateness(twins), Notes: r[i].notes(),
		}
		rows[i] = tableRow(part, twins, len(s[i].tones), s[i].brightness)
	}
	return views, rows
}

// lateness is by how much later each note starts, ms, at the time at which it did.
func lateness(twins []twin) []Sample {
	late := make([]Sample, len(twins))
	for i, t := range twins {
		late[i] = Sample{t.before.on, milliseconds(t.after.on - t.before.on)}
	}
	return late
}

func milliseconds(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

// audible is the least depth in cents, peak to peak, that counts as vibrato: what a
// short note has before it ends is less. Ours, not published.
const audible = 10

func tableRow(part Compared, twins []twin, notes int, brightness []float64) Row {
	r := Row{Part: part.Report.Name, Profile: part.Report.Profile, Notes: notes}
	var changes, depths []float64
	for _, t := range twins {
		changes = append(changes, t.after.level-t.before.level)
		if d := t.after.vibrato; d >= audible {
			depths = append(depths, d)
		}
	}
	if len(changes) > 0 {
		r.LevelLow, r.LevelHigh = slices.Min(changes), slices.Max(changes)
		r.LevelMedian = median(changes)
		r.VibratoShare = float64(len(depths)) / float64(len(changes))
	}
	r.VibratoCents = median(depths)
	r.BrightnessDB = median(brightness)
	for _, about := range habits.All() {
		r.Habits = append(r.Habits, HabitCount{Habit: about.Flag(), Notes: int(part.Report.Habits[about.Flag()])})
	}
	return r
}

// median is the middle value, 0 of none.
func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	v = slices.Sorted(slices.Values(v))
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}

// changed adds a sample if it differs from the last; of several at one moment the
// last holds.
func changed(s []Sample, at time.Duration, value float64) []Sample {
	if n := len(s); n > 0 {
		if s[n-1].At == at {
			s[n-1].Value = value
			return s
		}
		if s[n-1].Value == value {
			return s
		}
	}
	return append(s, Sample{At: at, Value: value})
}

// valueAt is the value that holds at a time; that of the first sample before it.
func valueAt(s []Sample, at time.Duration) float64 {
	i, found := slices.BinarySearchFunc(s, at, func(s Sample, at time.Duration) int { return cmp.Compare(s.At, at) })
	if found {
		return s[i].Value
	}
	return s[max(i-1, 0)].Value
}
