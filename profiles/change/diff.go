package change

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"swellbox/expr"
)

// Diff says how b differs from a, in the order of the keys of a document. It says
// nothing of what is equal, and of two profiles that play alike nothing at all. What
// changes in another way of playing as it does in the profile itself is said once.
func Diff(a, b *expr.Profile) []Line {
	var ls lines
	ls.words("name", a.Name, b.Name)
	ls.words("family", a.Family, b.Family)
	ls.playing(a, b)
	ls.variants(a, b)
	return ls.all
}

// playing is how one way of playing differs from another.
func (ls *lines) playing(a, b *expr.Profile) {
	ls.words("stands in a hall as", instrument(a), instrument(b))
	if instrument(a) == instrument(b) { // which else says it
		ls.words("range in MIDI notes", compass(a.Range), compass(b.Range))
	}
	ls.amount("players", "", float64(a.Players), float64(b.Players))
	ls.habits(a, b)
	ls.sampler(&a.Sampler, &b.Sampler)
}

func instrument(p *expr.Profile) string {
	if p.Instrument == nil {
		return "none"
	}
	return p.Instrument.Name
}

func compass(r expr.Range) string {
	if r == (expr.Range{}) {
		return "any"
	}
	return fmt.Sprintf("%d to %d", r.Low, r.High)
}

// dynamics is how what a velocity means differs.
func (ls *lines) dynamics(a, b *expr.Profile) {
	ls.curve(velocityCurve("level", "dB against mf", db), a.Dynamics.Reading, b.Dynamics.Reading)
	ls.words("level carried by", carrier(a), carrier(b))
}

func carrier(p *expr.Profile) string {
	switch p.Dynamics.Carrier {
	case expr.CarryController:
		return "the controller"
	case expr.CarryBoth:
		return "the velocity and the controller"
	}
	return "the velocity"
}

func notes(ns []uint8) string {
	names := make([]string, len(ns))
	for i, n := range ns {
		names[i] = Note(float64(n))
	}
	return strings.Join(names, " ")
}

func (ls *lines) sampler(a, b *expr.Sampler) {
	ls.curve(velocityCurve("the sampler's answer to velocity", "dB against full level", db), a.Velocity, b.Velocity)
	ls.plain("velocity sent where a controller carries the level", "", orDefault(float64(a.FixedVelocity), 100), orDefault(float64(b.FixedVelocity), 100))
	ls.control("level", "dB against full level", db, &a.Level, &b.Level)
	ls.words("a level controller that comes in is", combine(a.Incoming.Level), combine(b.Incoming.Level))
	ls.words("a vibrato controller that comes in is", combine(a.Incoming.Vibrato), combine(b.Incoming.Vibrato))
	ls.words("a brightness controller that comes in is", combine(a.Incoming.Brightness), combine(b.Incoming.Brightness))
	ls.control("vibrato depth", "cents", ratio, &a.VibratoDepth, &b.VibratoDepth)
	ls.control("vibrato rate", "Hz", ratio, &a.VibratoRate, &b.VibratoRate)
	ls.control("vibrato delay", "ms", ratio, &a.VibratoDelay, &b.VibratoDelay)
	ls.words("vibrato drawn by", drawnBy(a.BendVibrato), drawnBy(b.BendVibrato))
	ls.plain("range of the pitch bend", "semitones", orDefault(a.BendRange, 2), orDefault(b.BendRange, 2))
	ls.control("brightness", "dB at 3 kHz", db, &a.Brightness, &b.Brightness)
	ls.amount("brightens as it gets louder, by", "dB for each dB", a.BrightPerDB, b.BrightPerDB)
	ls.measured(a.Measured, b.Measured)
}

// measured is what recordings have shown of two samplers. Nothing measured stands for one like all others.
func (ls *lines) measured(a, b *expr.Measured) {
	ls.words("the sampler's sound", measuring(a), measuring(b))
	if a == nil {
		a = &expr.Measured{}
	}
	if b == nil {
		b = &expr.Measured{}
	}
	ls.level("louder than other parts at the same numbers, by", "dB", a.LevelDB, b.LevelDB)
	ls.words("what evens out that loudness", evener(a.ByVolume), evener(b.ByVolume))
	ls.words("keys", keys(a.Even), keys(b.Even))
	first, differ := 0, 0
	for key := range a.KeyDB {
		if a.KeyDB[key] != b.KeyDB[key] {
			if differ++; differ == 1 {
				first = key
			}
		}
	}
	if differ > 0 {
		about := "louder in " + Note(float64(first))
		if differ > 1 {
			about += fmt.Sprintf(", the first of %d keys that differ", differ)
		}
		ls.level(about+", by", "dB", a.KeyDB[first], b.KeyDB[first])
	}
	ls.plain("heard late by", "ms", milliseconds(a.Attack), milliseconds(b.Attack))
	ls.amount("vibrato that its sound has by itself", "cents", a.VibratoCents, b.VibratoCents)
}

func milliseconds(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

func measuring(m *expr.Measured) string {
	if m == nil {
		return "not measured"
	}
	return "measured"
}

func evener(byVolume bool) string {
	if byVolume {
		return "the channel's volume"
	}
	return "what carries the level"
}

func keys(even bool) string {
	if even {
		return "measured and evened out"
	}
	return "as the sampler has them"
}

// orDefault is what 0 stands for in a sampler, as expr.Sampler says.
func orDefault(v, instead float64) float64 {
	if v == 0 {
		return instead
	}
	return v
}

func combine(c expr.Combine) string {
	switch c {
	case expr.Replace:
		return "dropped"
	case expr.Leave:
		return "let through, ours kept off it"
	case expr.GiveWay:
		return "let through, ours kept off it from then on"
	}
	return "added to ours"
}

func drawnBy(bend bool) string {
	if bend {
		return "pitch bend"
	}
	return "the sampler"
}

// way is a way of playing with all that calls it: a profile has it once for each program.
type way struct {
	name        string
	keyswitches []string
	programs    []string // from 1, as in documents
	profile     *expr.Profile
}

func ways(p *expr.Profile) []*way {
	var ws []*way
	for i := range p.Variants {
		v := &p.Variants[i]
		w := wayOf(ws, v.Name)
		if w == nil {
			w = &way{name: v.Name, profile: v.Profile}
			ws = append(ws, w)
		}
		if v.Keyswitch >= 0 {
			w.keyswitches = append(w.keyswitches, Note(float64(v.Keyswitch)))
		}
		if v.Program >= 0 {
			w.programs = append(w.programs, strconv.Itoa(v.Program+1))
		}
	}
	return ws
}

func wayOf(ws []*way, name string) *way {
	for _, w := range ws {
		if w.name == name {
			return w
		}
	}
	return nil
}

// called is what calls a way of playing: "keyswitch C1; program 41, 49".
func (w *way) called() string {
	var by []string
	if len(w.keyswitches) > 0 {
		by = append(by, "keyswitch "+strings.Join(w.keyswitches, ", "))
	}
	if len(w.programs) > 0 {
		by = append(by, "program "+strings.Join(w.programs, ", "))
	}
	if len(by) == 0 {
		return "called by nothing"
	}
	return strings.Join(by, "; ")
}

// variants is how the other ways of playing differ, by their names.
func (ls *lines) variants(a, b *expr.Profile) {
	before, after := ways(a), ways(b)
	said := slices.Clone(ls.all)
	for _, v := range before {
		w := wayOf(after, v.name)
		if w == nil {
			ls.add(Line{About: "way of playing " + v.name + ",", Before: v.called(), After: "none"})
			continue
		}
		ls.words("way of playing "+v.name+",", v.called(), w.called())
		own := v.profile == a && w.profile == b // said already
		if own || v.profile == nil || w.profile == nil {
			continue
		}
		var of lines
		of.playing(v.profile, w.profile)
		for _, l := range of.all {
			if !slices.Contains(said, l) {
				l.About = v.name + ": " + l.About
				ls.add(l)
			}
		}
	}
	for _, w := range after {
		if wayOf(before, w.name) == nil {
			ls.add(Line{About: "way of playing " + w.name + ",", Before: "none", After: w.called()})
		}
	}
}
