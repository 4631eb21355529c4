package change

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"swellbox/expr"
	"swellbox/profiles"
)

const older = `# of the house
swellbox: 1
name: mine   # ours
extends: violins
dynamics: {k: 0.9, carried_by: both, reading: player} # as it comes
weighting:
    k: 0.7   # less
    # at forte
    share_db: 1 # ours
    from_db: -3
    to_db: 9

habits:
  contrast: 0.2
  # held notes
  long_note: 0.5 # half
  breath: {k: 0.6, loud_ms: 3000}
  timing: {k: 0.7, sd_ms: 8}
sustain:
  k: 0.5 # soft
player:
  velocity: {law: standard} # the bank's
  level: {power_law_db: 50}
variants:
  - name: muted
    weighting: {k: 0} # far
# the end
`

const newer = `# of the house
swellbox: 1
name: mine   # ours
extends: violins
marks: {amount: 0.9, carried_by: both, reading: sampler} # as it comes
orchestra_weight:
    amount: 0.7   # less
    # at forte
    extra_db: 1 # ours
    starts_at_db: -3
    full_at_db: 9

habits:
  quick_notes: 0.2
  breath: {amount: 0.6, lasts_loud_ms: 3000}
  together: {amount: 0.7, spread_ms: 8}
bloom:
  amount: 0.5 # soft
  # held notes
  long_notes: 0.5 # half
sampler:
  velocity: {curve: standard} # the bank's
  level: {range_db: 50}
variants:
  - name: muted
    orchestra_weight: {amount: 0} # far
# the end
`

func resolveIn(t *testing.T, doc []byte) *expr.Profile {
	t.Helper()
	l, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	d, err := profiles.Parse("f.yaml", doc)
	if err != nil {
		t.Fatal(err)
	}
	if err := l.Add(d); err != nil {
		t.Fatal(err)
	}
	p, err := l.Resolve(d.Name)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// The present names stand where the old ones stood, and all else is as it was: what is read
// of it is the same, and there is nothing left to update.
func TestUpdate(t *testing.T) {
	for _, windows := range []bool{false, true} {
		doc, want := older, newer
		if windows {
			doc, want = strings.ReplaceAll(doc, "\n", "\r\n"), strings.ReplaceAll(want, "\n", "\r\n")
		}
		got, renames, err := Update([]byte(doc))
		if err != nil {
			t.Fatal(err)
		}
		if string(got) != want {
			t.Errorf("it is\n%s, want\n%s", got, want)
		}
		if len(renames) != 22 {
			t.Errorf("%d names: %+v", len(renames), renames)
		}
		if a, b := resolveIn(t, []byte(doc)), resolveIn(t, got); !reflect.DeepEqual(a, b) {
			t.Error("it plays otherwise")
		}
		again, renames, err := Update(got)
		if err != nil || len(renames) > 0 || !bytes.Equal(again, got) {
			t.Errorf("a second time %d names change, %v", len(renames), err)
		}
	}
}

func TestUpdateOtherDocuments(t *testing.T) {
	for doc, want := range map[string]string{
		"swellbox: 1\nplayer_map: m # x\neveryone:\n  player: {level: {law: standard}}\nprofiles: {horn: {player: {fixed_velocity: 3}}}\n": "swellbox: 1\ncontroller_map: m # x\neveryone:\n  sampler: {level: {curve: standard}}\nprofiles: {horn: {sampler: {fixed_velocity: 3}}}\n",
		"swellbox: 1\nensemble: {player_map: m}\nseats:\n  - {channel: 1, profile: horn, player_map: m} # solo\n":                          "swellbox: 1\nensemble: {controller_map: m}\nseats:\n  - {channel: 1, profile: horn, controller_map: m} # solo\n",
		"swellbox: 1\nname: a\nvibrato: {\"k\": 1}\n": "swellbox: 1\nname: a\nvibrato: {amount: 1}\n",
		"swellbox: 1\nname: k\n":                      "swellbox: 1\nname: k\n",
	} {
		if got, _, err := Update([]byte(doc)); err != nil || string(got) != want {
			t.Errorf("%s became\n%s, want\n%s (%v)", doc, got, want, err)
		}
	}
	if _, _, err := Update([]byte("swellbox: 1\nname: a\nvibrato: {k: 1, amount: 1}\n")); err == nil {
		t.Error("a key by both names is taken")
	}
}
