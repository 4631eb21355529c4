package profiles

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"swellbox/expr"
)

// ways lists the variants of a profile: name, keyswitch, program from 1.
func ways(p *expr.Profile) string {
	var b strings.Builder
	for _, v := range p.Variants {
		fmt.Fprintf(&b, "%s %d %d|", v.Name, v.Keyswitch, v.Program+1)
	}
	return b.String()
}

func wayOf(t *testing.T, p *expr.Profile, name string) *expr.Profile {
	t.Helper()
	for _, v := range p.Variants {
		if v.Name == name {
			return v.Profile
		}
	}
	t.Fatalf("%s has no variant %s: %s", p.Name, name, ways(p))
	return nil
}

// A variant is the profile, then the music of what it extends, then its own keys.
func TestVariantLayers(t *testing.T) {
	l := library(t,
		`{swellbox: 1, name: mine, extends: violins, players: 3,
		vibrato: {onset_ms: 90}, sampler: {level: {controller: 2}, fixed_velocity: 90},
		articulation: {name: bowed, keyswitch: 24, program: 41},
		variants: [{name: pizzicato, keyswitch: 25, sampler: {fixed_velocity: 70}},
			{name: "short", keyswitch: 0, bloom: {swell_db: 0.5}, players: 2, vibrato: {amount: 0.5}},
			{name: brassy, program: [60, 61], extends: horn, orchestra_weight: {extra_db: 1}}]}`)
	p, err := l.Resolve("mine")
	if err != nil {
		t.Fatal(err)
	}
	const want = "bowed 24 41|tremolo -1 45|pizzicato 25 46|short 0 0|brassy -1 60|brassy -1 61|"
	if got := ways(p); got != want {
		t.Fatalf("ways %s, want %s", got, want)
	}
	if p.Variants[0].Profile != p {
		t.Error("the profile's own way is not the profile itself")
	}
	for _, v := range p.Variants {
		if q := v.Profile; q.Name != "mine" || q.Family != "strings" || q.Sampler.Level.Number != 2 || q != p && q.Variants != nil {
			t.Errorf("%s: %s, %s, level on %d, %d variants; want mine, strings, 2, none", v.Name, q.Name, q.Family, q.Sampler.Level.Number, len(q.Variants))
		}
	}
	pizzicato := wayOf(t, p, "pizzicato")
	if pizzicato.Dynamics.Carrier != expr.CarryVelocity || pizzicato.Amounts.Of("bloom") != 0 || pizzicato.Amounts.Of("vibrato") != 0 || pizzicato.Players != 3 || pizzicato.Sampler.FixedVelocity != 70 {
		t.Errorf("pizzicato %+v: the music of pizzicato-strings, the players of mine and its own fixed velocity", pizzicato)
	}
	short := wayOf(t, p, "short")
	if short.Amounts.Of("vibrato") != 0.5 || short.Vibrato.Onset != p.Vibrato.Onset || short.Bloom.SwellDB != 0.5 || short.Bloom.Swell != p.Bloom.Swell || short.Players != 2 || short.Sampler.FixedVelocity != 90 {
		t.Errorf("short %+v: its own keys over those of mine", short)
	}
	brassy := wayOf(t, p, "brassy")
	if brassy.Bloom.SwellDB != 0.5 || brassy.Weight.ShareDB != 1 || brassy.Amounts.Of("vibrato") != 0 || brassy.Sampler.Brightness.Has() {
		t.Errorf("brassy %+v: the music of horn, its own share, and no brightness, which is the player's", brassy)
	}
	if wayOf(t, p, "brassy") != p.Variants[5].Profile {
		t.Error("two programs of one way make two profiles")
	}
}

func TestVariantsOfParents(t *testing.T) {
	l := library(t,
		"{swellbox: 1, name: none, extends: violins, variants: []}",
		"{swellbox: 1, name: again, extends: none, variants: [{name: legato, keyswitch: 3}]}",
		"{swellbox: 1, name: anew, extends: none, variants: [{name: pizzicato, keyswitch: 3}]}",
		"{swellbox: 1, name: self, extends: flute, vibrato: {amount: 0.5}, variants: [{name: b, extends: self}]}",
		"{swellbox: 1, name: child, extends: violins, variants: [{name: tremolo, vibrato: {amount: 1}}]}",
	)
	for name, want := range map[string]string{
		"none": "", "again": "sustained -1 41|sustained -1 49|sustained -1 50|sustained -1 51|sustained -1 52|legato 3 0|",
		"tremolo-strings": "", "pizzicato-strings": "", "trombone": "", "flute": "", "plain": "",
		"trumpet": "open -1 57|muted -1 60|",
		"child":   ways(resolved(t, "violins")),
	} {
		p, err := l.Resolve(name)
		if err != nil {
			t.Fatal(err)
		}
		if got := ways(p); got != want {
			t.Errorf("%s has the ways %s, want %s", name, got, want)
		}
	}
	p, err := l.Resolve("child")
	if err != nil {
		t.Fatal(err)
	}
	// What an empty list has dropped does not come back with a variant of its name.
	if anew, err := l.Resolve("anew"); err != nil || ways(anew) != "sustained -1 41|sustained -1 49|sustained -1 50|sustained -1 51|sustained -1 52|pizzicato 3 0|" {
		t.Errorf("anew: %v", err)
	} else if q := wayOf(t, anew, "pizzicato"); q.Amounts.Of("vibrato") != 1 || q.Dynamics.Carrier != expr.CarryController {
		t.Errorf("pizzicato %+v: the music of anew, as it extends nothing", q)
	}
	if self, err := l.Resolve("self"); err != nil || ways(self) != "ordinary -1 0|b -1 0|" || wayOf(t, self, "b").Amounts.Of("vibrato") != 0.5 {
		t.Errorf("a variant that extends the profile that has it: %v", err)
	}
	if q := wayOf(t, p, "tremolo"); q.Amounts.Of("vibrato") != 1 || q.Amounts.Of("bloom") != 0 {
		t.Errorf("tremolo %+v: the child's vibrato and the parent's sustain", q)
	}
}

// Where the sampler cannot carry the dynamics of the profile that a variant
// extends, the variant keeps those of its own profile.
func TestVariantKeepsDynamicsThatCanBeCarried(t *testing.T) {
	l := library(t, "{swellbox: 1, name: a, extends: violins, sampler: {velocity: none}}",
		"{swellbox: 1, name: b, extends: harp, sampler: {level: none}, articulation: {name: plucked}, variants: [{name: bowed, extends: strings}]}")
	a, err := l.Resolve("a")
	if err != nil {
		t.Fatal(err)
	}
	if q := wayOf(t, a, "pizzicato"); q.Dynamics.Carrier != expr.CarryController || q.Amounts.Of("vibrato") != 0 {
		t.Errorf("pizzicato %+v: without vibrato, by the controller", q)
	}
	b, err := l.Resolve("b")
	if err != nil {
		t.Fatal(err)
	}
	if q := wayOf(t, b, "bowed"); q.Dynamics.Carrier != expr.CarryVelocity || q.Amounts.Of("vibrato") != 1 {
		t.Errorf("bowed %+v: with vibrato, by the velocity", q)
	}
}

func TestVariantErrors(t *testing.T) {
	const head = "{swellbox: 1, name: a, extends: flute, articulation: {name: own, keyswitch: 1, program: 2}, variants: "
	for _, c := range []struct{ doc, want string }{
		{head + "3}", `variants: found "3", wanted a list of at most 32 variants`},
		{head + "[3]}", `variants[1]: found "3", wanted keys with values: name, keyswitch, program, extends, instrument, players`},
		{head + "[{keyswitch: 3}]}", "doc1.yaml:1:104: variants[1]: the key name is missing"},
		{head + "[{name: A}]}", `variants[1].name: found "A", allowed are lower-case letters`},
		{head + "[{name: b}, {name: b}]}", `doc1.yaml:1:122: variants[2].name: variants[1] is called "b" already`},
		{head + "[{name: b, family: brass}]}", `variants[1]: the key "family" is not known`},
		{head + "[{name: b, keyswitch: 128}]}", `variants[1].keyswitch: found "128", allowed is a whole number, 0 to 127`},
		{head + "[{name: b, program: 0}]}", `variants[1].program: found "0", allowed is a whole number, 1 to 128`},
		{head + "[{name: b, program: []}]}", "variants[1].program: found a list of 0, wanted a program or a list of 1 to 16"},
		{head + "[{name: b, program: [3, 129]}]}", `variants[1].program: found "129"`},
		{head + "[{name: b, vibrato: {amount: 3}}]}", "variants[1].vibrato.amount: found \"3\", allowed is 0 to 2"},
		{head + "[{name: own}]}", "doc1.yaml:1:61: articulation.name: a variant is called \"own\" too"},
		{head + "[{name: b, keyswitch: 1}]}", "doc1.yaml:1:125: variants[1].keyswitch: the keyswitch 1 calls own already"},
		{head + "[{name: b, program: 3}, {name: c, program: [9, 3]}]}", "variants[2].program: the program 3 calls b already"},
		{head + "[{name: b, program: [3, 3]}]}", "variants[1].program: the program 3 calls b already"},
		{head + "[{name: b, extends: hron}]}", `doc1.yaml:1:123: variants[1].extends: no profile is named "hron", the nearest is "horn"`},
		{head + "[{name: b, marks: {carried_by: velocity}, sampler: {velocity: none}}]}", "doc1.yaml:1:134: variants[1].marks.carried_by: in the variant b: the dynamics are carried by the velocity, but sampler.velocity is none"},
		{"{swellbox: 1, name: a, extends: flute, articulation: {name: Own}}", "articulation.name: found \"Own\""},
		{"{swellbox: 1, name: a, extends: flute, articulation: {nane: own}}", `articulation: the key "nane" is not known, the nearest is "name"`},
		{"{swellbox: 1, name: a, extends: violins, articulation: {program: 46}}", `built-in strings.yaml:`},
	} {
		d, err := Parse("doc1.yaml", []byte(c.doc))
		if err == nil {
			l := library(t)
			if err := l.Add(d); err != nil {
				t.Fatal(err)
			}
			_, err = l.Resolve("a")
		}
		if ps := (Problems)(nil); !errors.As(err, &ps) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s:\n%v\nwant Problems with %s", c.doc, err, c.want)
		}
	}
}

func TestVariantsLimit(t *testing.T) {
	doc := func(name, extends string, from, n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "{name: v%d},", from+i)
		}
		return fmt.Sprintf("{swellbox: 1, name: %s, extends: %s, variants: [%s]}", name, extends, &b)
	}
	l := library(t, doc("full", "flute", 0, variantsLimit), doc("half", "flute", 100, variantsLimit/2), doc("over", "half", 0, variantsLimit/2+1))
	if p, err := l.Resolve("full"); err != nil || len(p.Variants) != variantsLimit+1 {
		t.Errorf("at the limit: %v", err)
	}
	if _, err := l.Resolve("over"); err == nil || !strings.Contains(err.Error(), "doc3.yaml:1:52: variants: found 33 variants with those of the parents, allowed are 32") {
		t.Errorf("past the limit with parents: %v", err)
	}
	if _, err := Parse("f", []byte(doc("x", "flute", 0, variantsLimit+1))); err == nil || !strings.Contains(err.Error(), "found a list of 33, wanted a list of at most 32 variants") {
		t.Errorf("past the limit: %v", err)
	}
}

func TestKeep(t *testing.T) {
	p := resolved(t, "violins")
	for _, name := range []string{"pizzicato", "sustained"} {
		q, err := Keep(p, name)
		if err != nil || q.Variants != nil || q.Amounts.Of("vibrato") != wayOf(t, p, name).Amounts.Of("vibrato") {
			t.Errorf("%s: %v, %v", name, q, err)
		}
	}
	if p.Variants == nil {
		t.Error("the profile itself has lost its variants")
	}
	for name, want := range map[string]string{
		"pizicato": `the profile violins has no articulation "pizicato", the nearest is "pizzicato"; it has sustained, tremolo, pizzicato`,
		"x":        `no articulation "x"; it has sustained`,
	} {
		if _, err := Keep(p, name); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %s", name, err, want)
		}
	}
	if _, err := Keep(resolved(t, "flute"), "short"); err == nil || !strings.Contains(err.Error(), "no articulation but its own") {
		t.Errorf("flute: %v", err)
	}
}

// The costliest profile that the limits allow: a chain of the greatest length, and
// the most variants that each extend another.
func BenchmarkResolveCostliest(b *testing.B) {
	l := library(b)
	for i := range chainLimit - 1 {
		var text strings.Builder
		fmt.Fprintf(&text, "{swellbox: 1, name: p%d, extends: %s, articulation: {name: own}, variants: [", i, map[bool]string{true: "plain", false: fmt.Sprintf("p%d", i-1)}[i == 0])
		for v := range variantsLimit {
			fmt.Fprintf(&text, "{name: v%d, keyswitch: %d, extends: p%d},", v, v, i)
		}
		d, err := Parse("f", []byte(text.String()+"]}"))
		if err != nil {
			b.Fatal(err)
		}
		if err := l.Add(d); err != nil {
			b.Fatal(err)
		}
	}
	name := fmt.Sprintf("p%d", chainLimit-2)
	for b.Loop() {
		if p, err := l.Resolve(name); err != nil || len(p.Variants) != variantsLimit+1 {
			b.Fatal(err)
		}
	}
}

func BenchmarkResolveViolins(b *testing.B) {
	l := library(b)
	for b.Loop() {
		if _, err := l.Resolve("violins-1"); err != nil {
			b.Fatal(err)
		}
	}
}
