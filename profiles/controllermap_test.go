package profiles

import (
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// wellMapped speaks of everyone, of a family, of a parent and of one profile.
const wellMapped = `swellbox: 1
controller_map: big-room
everyone:
  sampler:
    level: {controller: 2} # breath
    fixed_velocity: 80
families:
  strings:
    sampler: {fixed_velocity: 90, vibrato_depth: {controller: 21}}
    variants:
      - {name: pizzicato, keyswitch: 25}
profiles:
  violins:
    articulation: {keyswitch: 24, program: 1}
    sampler: {vibrato_depth: {points: [{value: 0, cents: 0}, {value: 127, cents: 60}]}}
    variants:
      - {name: pizzicato, sampler: {velocity: {range_db: 30}}}
  violins-1:
    sampler: {fixed_velocity: 95}
`

func controllerMap(t testing.TB, text string) *ControllerMap {
	t.Helper()
	m, err := ParseControllerMap("map.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// mapped is a library with a controller map over it.
func mapped(t testing.TB, text string, docs ...string) *Library {
	t.Helper()
	l := library(t, docs...)
	if err := l.AddControllerMap(controllerMap(t, text)); err != nil {
		t.Fatal(err)
	}
	return l
}

func TestControllerMapIsLaidOverTheProfile(t *testing.T) {
	l := mapped(t, wellMapped, "{swellbox: 1, name: viols, extends: violins-1, players: 3, sampler: {level: {controller: 7}}}")
	for _, c := range []struct {
		profile             string
		level, fixed, depth int
		cents               float64
		ways                string
	}{
		{"flute", 2, 80, 1, 100, ""},
		{"violas", 2, 90, 21, 100, "sustained -1 42|sustained -1 49|sustained -1 50|sustained -1 51|sustained -1 52|tremolo -1 45|pizzicato 25 46|"},
		{"violins", 2, 90, 21, 60, "sustained 24 1|tremolo -1 45|pizzicato 25 46|"},
		{"violins-1", 2, 95, 21, 60, "sustained 24 1|tremolo -1 45|pizzicato 25 46|"},
		{"viols", 2, 95, 21, 60, "sustained 24 1|tremolo -1 45|pizzicato 25 46|"},
		{"tremolo-strings", 2, 90, 21, 100, ""}, // has no variants, and the map gives it none
	} {
		p, err := l.ResolveFor(c.profile, "big-room")
		if err != nil {
			t.Errorf("%s: %v", c.profile, err)
			continue
		}
		got := p.Sampler
		if got.Level.Number != c.level || int(got.FixedVelocity) != c.fixed || got.VibratoDepth.Number != c.depth || got.VibratoDepth.Response.At(127) != c.cents {
			t.Errorf("%s: level on %d, fixed velocity %d, depth on %d up to %g cents, want %+v",
				c.profile, got.Level.Number, got.FixedVelocity, got.VibratoDepth.Number, got.VibratoDepth.Response.At(127), c)
		}
		if ways(p) != c.ways {
			t.Errorf("%s: ways %s, want %s", c.profile, ways(p), c.ways)
		}
		bare, err := l.ResolveFor(c.profile, "")
		if err != nil || bare.Vibrato.DepthLow != p.Vibrato.DepthLow || bare.Amounts.Of("marks") != p.Amounts.Of("marks") || bare.Players != p.Players {
			t.Errorf("%s: the map has changed the music: %v", c.profile, err)
		}
	}
	p, err := l.ResolveFor("violins", "big-room")
	if err != nil {
		t.Fatal(err)
	}
	if v := wayOf(t, p, "pizzicato").Sampler.Velocity; v.At(127)-v.At(1) > 30.01 || v.At(127)-v.At(1) < 29.99 {
		t.Errorf("pizzicato answers over %g dB, want the map's 30", v.At(127)-v.At(1))
	}
	if v := p.Sampler.Velocity; v.At(127)-v.At(1) < 31 {
		t.Errorf("the bowed violins answer over %g dB: they have the response of pizzicato", v.At(127)-v.At(1))
	}
}

func TestControllerMapErrors(t *testing.T) {
	const head = "swellbox: 1\ncontroller_map: m\n"
	for _, c := range []struct{ doc, want string }{
		{"", "m.yaml: the file is empty"},
		{"controller_map: m\n", "m.yaml:1:1: swellbox: the key is missing"},
		{"swellbox: 1\n", "m.yaml:1:1: controller_map: the key is missing: which controller map is this?"},
		{"swellbox: 1\ncontroller_map: My Map\n", `m.yaml:2:17: controller_map: found "My Map", allowed are lower-case letters`},
		{head + "evryone: {}\n", `m.yaml:3:1: the key "evryone" is not known, the nearest is "everyone"; allowed are swellbox, controller_map, measured, everyone, families, profiles`},
		{head + "everyone: 3\n", `m.yaml:3:11: everyone: found "3", wanted keys with values: sampler, marks, articulation, variants`},
		{head + "everyone: {vibrato: {amount: 1}}\n", `everyone: the key "vibrato" is not known`},
		{head + "everyone: {sampler: {level: {controler: 3}}}\n", `everyone.sampler.level: the key "controler" is not known, the nearest is "controller"`},
		{head + "everyone: {sampler: {level: {controller: 130}}}\n", `everyone.sampler.level.controller: found "130"`},
		{head + "everyone: {articulation: {name: a}}\n", `everyone.articulation: the key "name" is not known`},
		{head + "everyone: {variants: [{name: a, vibrato: {amount: 0}}]}\n", `everyone.variants[1]: the key "vibrato" is not known`},
		{head + "everyone: {variants: [{name: a}, {name: a}]}\n", `variants[1] is called "a" already`},
		{head + "families: {viols: {}}\n", `families: the key "viols" is not known; allowed are strings, woodwind,`},
		{head + "families: []\n", "families: found a list, wanted keys with values"},
		{head + "profiles: []\n", "profiles: found a list of 0, wanted the names of at most 1000 profiles"},
		{head + "profiles: {Horn: {}}\n", `m.yaml:3:12: profiles: found "Horn", allowed are lower-case letters`},
		{head + "profiles: {horn: {}, horn: {}}\n", "m.yaml:3:22: profiles.horn: the key is given twice"},
		{head + "profiles: {horn: {sampler: {fixed_velocity: 0}}}\n", `m.yaml:3:45: profiles.horn.sampler.fixed_velocity: found "0", allowed is a whole number, 1 to 127`},
	} {
		m, err := ParseControllerMap("m.yaml", []byte(c.doc))
		if ps := (Problems)(nil); m != nil || !errors.As(err, &ps) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q:\n%v\nwant %s", c.doc, err, c.want)
		}
	}
}

// What only shows together with a profile has its place in the map.
func TestControllerMapErrorsWithTheProfile(t *testing.T) {
	const head = "{swellbox: 1, controller_map: m, "
	for _, c := range []struct{ doc, profile, want string }{
		{head + "everyone: {sampler: {vibrato_depth: {controller: 11}}}}", "horn", "map.yaml:1:83: everyone.sampler.vibrato_depth.controller: controller 11 is already that of sampler.level"},
		{head + "families: {brass: {sampler: {level: none}}}}", "horn", "marks.carried_by: the dynamics are carried by a controller, but sampler.level is none"},
		{head + "profiles: {horn: {variants: [{name: muted, keyswitch: 3}]}}}", "horn", "map.yaml:1:70: profiles.horn.variants[1].name: the profile horn has no variant \"muted\"; it has none"},
		{head + "profiles: {trumpet: {variants: [{name: mutd, keyswitch: 3}]}}}", "trumpet", `the profile trumpet has no variant "mutd"; it has muted`},
		{head + "profiles: {trumpet: {articulation: {keyswitch: 3}, variants: [{name: muted, keyswitch: 3}]}}}", "trumpet", "map.yaml:1:121: profiles.trumpet.variants[1].keyswitch: the keyswitch 3 calls open already"},
		{head + "profiles: {violins: {variants: [{name: pizzicato, sampler: {brightness: {controller: 11}}}]}}}", "violins-1", "map.yaml:1:119: profiles.violins.variants[1].sampler.brightness.controller: in the variant pizzicato: controller 11 is already that of sampler.level"},
	} {
		l := mapped(t, c.doc)
		_, err := l.ResolveFor(c.profile, "m")
		if ps := (Problems)(nil); !errors.As(err, &ps) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s:\n%v\nwant %s", c.doc, err, c.want)
		}
		m, _ := l.LookupControllerMap("m")
		if err := m.Check(l); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: Check says %v", c.doc, err)
		}
	}
	l := mapped(t, wellMapped)
	if _, err := l.ResolveFor("violins", "big-rom"); err == nil || err.Error() != `no controller map is named "big-rom", the nearest is "big-room"` {
		t.Errorf("an unknown map: %v", err)
	}
	m, _ := l.LookupControllerMap("big-room")
	if err := m.Check(l); err != nil {
		t.Error(err)
	}
	err := controllerMap(t, "{swellbox: 1, controller_map: m, profiles: {violinz: {}}}").Check(l)
	if err == nil || !strings.Contains(err.Error(), `map.yaml:1:45: profiles.violinz: no profile is named "violinz", the nearest is "violin"`) {
		t.Errorf("an unknown profile: %v", err)
	}
}

func TestShowOrigins(t *testing.T) {
	l := mapped(t, wellMapped, `{swellbox: 1, name: mine, extends: violins-1, vibrato: {onset_ms: 80}}`)
	d, _ := l.Lookup("mine")
	d.Origin = Origin{Kind: Own, Label: "home"}
	b, err := l.ShowOrigins("mine", "big-room")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"#   [controller map big-room] profiles.violins-1 of map.yaml", "#   [mine, own] doc1.yaml", "#   [strings] built-in",
		"onset_ms: 80 # [mine, own]", "fixed_velocity: 95 # [controller map big-room]", "level: # breath\n", "controller: 2 # [controller map big-room]",
		"family: strings # [strings]", "reading:\n", "points: # [sustained]", "keyswitch: 25 # [controller map big-room]", "program: 46 # General MIDI 1, from memory # [strings]",
	} {
		if !strings.Contains(string(b), want) {
			t.Errorf("lacks %q:\n%s", want, b)
		}
	}
	opens := regexp.MustCompile(`:( #.*)?$|^- \{`) // a section, and a point of a curve
	for i, line := range strings.Split(string(b), "\n") {
		line = strings.TrimSpace(line)
		if line != "" && !strings.HasPrefix(line, "#") && !opens.MatchString(line) && !strings.Contains(line, " # [") {
			t.Errorf("line %d, %q, does not tell who gave it", i+1, line)
		}
	}
	again, err := Parse("shown", b)
	if err != nil {
		t.Fatalf("%v in\n%s", err, b)
	}
	over := library(t)
	if err := over.Add(again); err != nil {
		t.Fatal(err)
	}
	p, err := over.Resolve("mine")
	if err != nil || p.Sampler.Level.Number != 2 || p.Vibrato.Onset.Milliseconds() != 80 || wayOf(t, p, "pizzicato").Amounts.Of("vibrato") != 0 {
		t.Errorf("what was shown is another profile: %+v, %v", p, err)
	}
}

func TestLayers(t *testing.T) {
	dirs := map[OriginKind]string{}
	l := library(t)
	for _, c := range []struct {
		kind OriginKind
		text string
	}{
		{Installed, "{swellbox: 1, name: horn, extends: horn, players: 2}"},
		{Studio, "{swellbox: 1, name: horn, extends: horn, orchestra_weight: {amount: 0.5}}"},
		{Own, "{swellbox: 1, name: horn, extends: horn, vibrato: {amount: 0.25}}"},
	} {
		dir := t.TempDir()
		dirs[c.kind] = dir
		for name, text := range map[string]string{"horn.yaml": c.text, "map.yaml": wellMapped, "seating.yaml": orchestra} {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		if err := l.AddFolder(dir, Origin{Kind: c.kind, Label: "where"}); err != nil {
			t.Fatal(err)
		}
	}
	layers := l.Layers("horn")
	var kinds []OriginKind
	for _, d := range layers {
		kinds = append(kinds, d.Origin.Kind)
		if d.Origin.Kind != BuiltIn && (d.File != filepath.Join(dirs[d.Origin.Kind], "horn.yaml") || d.Origin.Label != "where") {
			t.Errorf("%s comes from %s, %s", d.Origin.Kind, d.File, d.Origin.Label)
		}
	}
	if len(kinds) != 4 || kinds[0] != Own || kinds[1] != Studio || kinds[2] != Installed || kinds[3] != BuiltIn {
		t.Errorf("layers %v, want own over studio over installed over built-in", kinds)
	}
	if winner, _ := l.Lookup("horn"); winner != layers[0] {
		t.Error("the first layer is not the one that the name stands for")
	}
	if p, err := l.Resolve("horn"); err != nil || p.Amounts.Of("vibrato") != 0.25 || p.Amounts.Of("orchestra_weight") != 0.5 || p.Players != 2 {
		t.Errorf("%+v, %v: each layer has its say", p, err)
	}
	if maps := l.ControllerMapLayers("big-room"); len(maps) != 3 || maps[0].Origin.Kind != Own || maps[2].Origin.Kind != Installed {
		t.Errorf("layers of the controller map: %v", maps)
	}
	if got := l.Layers("nothing"); len(got) != 0 {
		t.Errorf("layers of nothing: %v", got)
	}
}

func TestHash(t *testing.T) {
	d, err := Parse("f", []byte("{swellbox: 1, name: a}\n"))
	if err != nil {
		t.Fatal(err)
	}
	// printf '{swellbox: 1, name: a}\n' | sha256sum
	if got := d.Hash(); got != "18f06d2279094031457bbfce8d5782c7fa2bb0ce29fbf7614dfc11256b02a46e" {
		t.Errorf("hash %s", got)
	}
	m, err := ParseControllerMap("f", []byte("{swellbox: 1, controller_map: a}\n"))
	if err != nil || m.Hash() == d.Hash() || len(m.Hash()) != 64 {
		t.Errorf("hash of a map: %v, %v", m, err)
	}
}
