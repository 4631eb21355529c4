package profiles

import (
	"fmt"
	"time"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
	"swellbox/profiles/reading"
)

// Measuring says of which part a controller map was measured, when and by whom. A part that is
// seated without any map takes one that was measured of it.
type Measuring struct {
	Part    string // as the seating names it
	Profile string
	Program int    // 1..128; 0 where none was sent
	On      string // the day, 2026-12-31
	By      string // who measured; empty where nobody said
}

// measuringKeys read what at finds to read it to.
func measuringKeys[T any](at func(*T) *Measuring) []reading.Key[T] {
	return []reading.Key[T]{
		reading.Text("part", "name of the part that was measured", func(t *T) *string { return &at(t).Part }),
		reading.PlainName("profile", "the profile with which it was seated", func(t *T) *string { return &at(t).Profile }),
		reading.Whole("program", "program that was sent to it, from 1", 1, 128, func(t *T) *int { return &at(t).Program }),
		reading.Text("on", "the day on which it was measured, as 2026-12-31", func(t *T) *string { return &at(t).On }),
		reading.Text("by", "who measured it", func(t *T) *string { return &at(t).By }),
	}
}

// String is when and by whom it was measured, in words.
func (m *Measuring) String() string {
	s := "measured"
	if m.On != "" {
		s += " on " + m.On
	}
	if m.By != "" {
		s += " by " + m.By
	}
	return s
}

// mostLouderDB is the most by which one sound differs from others in level: more is a wrong recording.
const mostLouderDB = 48

// mostLate is the latest that a note is heard: more than that is no attack. Ours.
const mostLateMS = 400

// measuredKeys are what a recording has shown of a sampler beyond its responses, read to what at finds.
func measuredKeys[T any](at func(*T) *expr.Measured) []reading.Key[T] {
	return []reading.Key[T]{
		reading.Number("louder_db", "by how much it is louder than the other parts at the same numbers", -mostLouderDB, mostLouderDB, "dB", func(t *T) *float64 { return &at(t).LevelDB }),
		reading.Word("by_volume", "the channel volume carries as much of that as it can", []reading.Choice[bool]{{Word: "true", Value: true}, {Word: "false", Value: false}}, func(t *T) *bool { return &at(t).ByVolume }),
		{Name: "keys", About: "by how much single keys are louder than that; between two of them by a straight line",
			Form: reading.ListForm(reading.Object(keyLevelKeys, "key", "level_db"), 1, keysLimit),
			Read: func(r *reading.Reader, n *yaml.Node, path string, to *T) {
				if levels, ok := readKeyLevels(r, n, path); ok {
					at(to).Even, at(to).KeyDB = true, evenly(levels)
				}
			}},
		reading.Milliseconds("late_ms", "by how much later than of the quickest part its notes are heard", 0, mostLateMS, func(t *T) *time.Duration { return &at(t).Attack }),
		reading.Number("own_vibrato_cents", "vibrato that its sound has by itself, peak to peak", 0, 200, "cents", func(t *T) *float64 { return &at(t).VibratoCents }),
	}
}

// keyLevel is how much louder one key is.
type keyLevel struct {
	key int
	db  float64
}

var keyLevelKeys = []reading.Key[keyLevel]{
	reading.Whole("key", "MIDI note", 0, 127, func(k *keyLevel) *int { return &k.key }),
	reading.Number("level_db", "by how much it is louder", -mostLouderDB, mostLouderDB, "dB", func(k *keyLevel) *float64 { return &k.db }),
}

// keysLimit is how many keys there are.
const keysLimit = 128

// readKeyLevels reads levels by key, in the order of the keys.
func readKeyLevels(r *reading.Reader, n *yaml.Node, path string) (levels []keyLevel, ok bool) {
	if n.Kind != yaml.SequenceNode || len(n.Content) == 0 || len(n.Content) > keysLimit {
		r.Fault(n, path, "found %s, wanted a list of 1 to %d levels {key: …, level_db: …}", reading.Found(n), keysLimit)
		return nil, false
	}
	ok = true
	levels = make([]keyLevel, len(n.Content))
	fault := func(n *yaml.Node, path, format string, args ...any) {
		r.Fault(n, path, format, args...)
		ok = false
	}
	for i, entry := range n.Content {
		path := fmt.Sprintf("%s[%d]", path, i+1)
		before := len(r.Problems)
		reading.Mapping(r, entry, path, keyLevelKeys, &levels[i])
		ok = ok && len(r.Problems) == before
		for _, name := range []string{"key", "level_db"} {
			if entry.Kind == yaml.MappingNode && reading.Child(entry, name) == nil {
				fault(entry, path, "the key %s is missing", name)
			}
		}
		if i > 0 && ok && levels[i].key <= levels[i-1].key {
			fault(entry, path, "found the key %d after %d, wanted keys that rise", levels[i].key, levels[i-1].key)
		}
	}
	return levels, ok
}

// evenly is a level for every key: between those given by a straight line, and beyond them the last.
func evenly(levels []keyLevel) (db [128]float64) {
	i := 0
	for k := range db {
		for i+1 < len(levels) && levels[i+1].key <= k {
			i++
		}
		db[k] = levels[i].db
		if i+1 < len(levels) && k > levels[i].key {
			next := levels[i+1]
			db[k] += (next.db - levels[i].db) * float64(k-levels[i].key) / float64(next.key-levels[i].key)
		}
	}
	return db
}
