package profiles

import (
	"reflect"
	"strings"
	"testing"
)

// oldDocument has every key that once had another name, by its old one.
const oldDocument = `swellbox: 1
name: mine
extends: violins
dynamics: {k: 0.9, carried_by: both, reading: player}
sustain:
  k: 0.5
  swell_db: 2
weighting: {k: 0.7, register_k: 0.3, share_db: 1, from_db: -3, to_db: 9}
vibrato: {k: 1.2, onset_ms: 90, choice: 0.5}
habits:
  high_loud: 0.1
  contrast: 0.2
  charge: 0.3
  yield: 0.4
  long_note: 0.5
  breath: {k: 0.6, gap_ms: 70, loud_ms: 3000, soft_ms: 4000}
  timing: {k: 0.7, sd_ms: 8, hammer: true}
  pedal: {k: 0.8}
player:
  velocity: {law: standard}
  level: {power_law_db: 50}
variants:
  - name: muted
    weighting: {k: 0}
    sustain: {k: 0}
    dynamics: {reading: {power_law_db: 40}}
    sampler: {velocity: {power_law_db: 30}, level: {law: standard}}
  - name: far
    dynamics: {reading: {law: standard}}
`

const presentDocument = `swellbox: 1
name: mine
extends: violins
marks: {amount: 0.9, carried_by: both, reading: sampler}
bloom: {amount: 0.5, swell_db: 2, long_notes: 0.5}
orchestra_weight: {amount: 0.7, registers: 0.3, extra_db: 1, starts_at_db: -3, full_at_db: 9}
vibrato: {amount: 1.2, onset_ms: 90, straight_notes: 0.5}
habits:
  rise_and_fall: 0.1
  quick_notes: 0.2
  colour_notes: 0.3
  step_back: 0.4
  breath: {amount: 0.6, gap_ms: 70, lasts_loud_ms: 3000, lasts_soft_ms: 4000}
  together: {amount: 0.7, spread_ms: 8, louder_earlier: true}
  pedal: {amount: 0.8}
sampler:
  velocity: {curve: standard}
  level: {range_db: 50}
variants:
  - name: muted
    orchestra_weight: {amount: 0}
    bloom: {amount: 0}
    marks: {reading: {range_db: 40}}
    sampler: {velocity: {range_db: 30}, level: {curve: standard}}
  - name: far
    marks: {reading: {curve: standard}}
`

// A document with the old names of keys plays as one with the present ones does, and each old
// name is told with the new one.
func TestOldKeysKeepWorking(t *testing.T) {
	lib := library(t, oldDocument)
	a, err := lib.Resolve("mine")
	if err != nil {
		t.Fatal(err)
	}
	b, err := library(t, presentDocument).Resolve("mine")
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(a, b) {
		t.Errorf("old keys make\n%+v, present ones\n%+v", a, b)
	}
	if found := library(t, presentDocument).Renamed(); len(found) > 0 {
		t.Errorf("present keys are called old: %v", found)
	}
	told := lib.Renamed().Error()
	for _, r := range renamed {
		if !strings.Contains(told, r.now+`"`) {
			t.Errorf("%s is now %s, which is not told:\n%s", r.old, r.now, told)
		}
	}
	for _, want := range []string{":4:12: dynamics.k: ", "variants[1].weighting.k: ", `"variants[1].orchestra_weight.amount"`, `marks.reading: player: this word is now called "sampler"`, "habits.timing.sd_ms: "} {
		if !strings.Contains(told, want) {
			t.Errorf("no %q in\n%s", want, told)
		}
	}
}

// Controller maps and seatings keep working too.
func TestOldKeysOfOtherDocuments(t *testing.T) {
	const old = "swellbox: 1\nplayer_map: m\neveryone: {player: {velocity: {law: standard}}}\nfamilies: {brass: {player: {level: {power_law_db: 40}}}}\nprofiles: {violins: {variants: [{name: pizzicato, player: {fixed_velocity: 90}}]}}\n"
	m, err := ParseControllerMap("m.yaml", []byte(old))
	if err != nil {
		t.Fatal(err)
	}
	told := m.Renamed.Error()
	for _, want := range []string{`m.yaml:2:1: player_map: this key is now called "controller_map"`, "everyone.player: ", "everyone.player.velocity.law: ", "families.brass.player: ", "profiles.violins.variants[1].player: "} {
		if !strings.Contains(told, want) {
			t.Errorf("no %q in\n%s", want, told)
		}
	}
	l := library(t)
	if err := l.AddControllerMap(m); err != nil {
		t.Fatal(err)
	}
	if err := m.Check(l); err != nil {
		t.Error(err)
	}
	if len(l.Renamed()) != len(m.Renamed) {
		t.Errorf("the library tells %v", l.Renamed())
	}
	s, err := ParseSeating("s.yaml", []byte("swellbox: 1\nensemble: {player_map: m}\nseats: [{channel: 1, profile: violins, player_map: m}]\n"))
	if err != nil || s.Ensemble.ControllerMap != "m" || s.Seats[0].ControllerMap != "m" || len(s.Renamed) != 2 {
		t.Errorf("%+v, %v", s, err)
	}
}

// What is given by its old and its new name is refused, as nobody knows which is meant.
func TestOldAndNewKeyTogether(t *testing.T) {
	for _, doc := range []string{
		"swellbox: 1\nname: a\nvibrato: {k: 1, amount: 1}\n",
		"swellbox: 1\nname: a\nsustain: {swell_db: 1}\nbloom: {swell_db: 1}\n",
		"swellbox: 1\nname: a\nhabits: {yield: 1, step_back: 0}\n",
	} {
		if _, err := Parse("f.yaml", []byte(doc)); err == nil || !strings.Contains(err.Error(), "given too") {
			t.Errorf("%q: %v", doc, err)
		}
	}
	for path, want := range map[string]string{
		"vibrato.k": "vibrato.amount", "sustain.swell_db": "bloom.swell_db", "dynamics.reading.points[2].level_db": "marks.reading.points[2].level_db",
		"variants.muted.weighting.k": "variants.muted.orchestra_weight.amount", "variants[2].vibrato.k": "variants[2].vibrato.amount",
		"habits.timing.sd_ms": "habits.together.spread_ms", "player.velocity.law": "sampler.velocity.curve", "dynamics.reading.law": "marks.reading.curve",
	} {
		if got, was := Present(path); got != want || !was {
			t.Errorf("%s is now %s, want %s", path, got, want)
		}
	}
	if got, was := Present("vibrato.onset_ms"); was || got != "vibrato.onset_ms" {
		t.Errorf("a present path became %s", got)
	}
}

// A controller map may have old keys of music too, wherever it speaks of a profile.
func TestOldKeysOfMaps(t *testing.T) {
	m, err := ParseControllerMap("m.yaml", []byte("swellbox: 1\nplayer_map: m\neveryone: {dynamics: {carried_by: both}}\nprofiles:\n  horn: {dynamics: {carried_by: velocity}}\n"))
	if err != nil {
		t.Fatal(err)
	}
	if told := m.Renamed.Error(); !strings.Contains(told, `"everyone.marks"`) || !strings.Contains(told, `"profiles.horn.marks"`) {
		t.Errorf("told is %q", told)
	}
}
