package profiles

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"unicode"

	"swellbox/expr"
	"swellbox/profiles/names"
	"swellbox/profiles/reading"
)

// Whatever is given to Parse, it either is refused with problems that have a
// place in the document and one line each, or makes a profile within all ranges
// that can be written out and read again as the same.
func FuzzParse(f *testing.F) {
	for _, b := range builtinFiles(f) {
		f.Add(b)
	}
	for _, s := range []string{
		"", "swellbox: 1\nname: a\nextends: violins\nsampler: {level: {controller: 7, bits: 14}}",
		"{swellbox: 1, name: plain, extends: plain, sampler: {velocity: none}, marks: {carried_by: controller, reading: {curve: standard}}}",
		"{swellbox: 1, name: a, extends: violins, articulation: {name: b, keyswitch: 0}, variants: [{name: c, program: [1, 2], extends: horn, players: 3}, {name: tremolo, keyswitch: 4}]}",
		"{swellbox: 1, name: strings, extends: strings, variants: []}", "{swellbox: 1, name: a, extends: trumpet, variants: [{name: muted, program: 57}]}",
		"swellbox: 1\nname: &a [*a]\n", "swellbox: 1\nname: a\nvibrato: {amount: .nan, rate_low_hz: 1e309}", "? {a: b}\n: c\n--- !!set\n",
	} {
		f.Add([]byte(s))
	}
	base := library(f)
	f.Fuzz(func(t *testing.T, b []byte) {
		d, err := Parse("f", b)
		if err != nil {
			checkProblems(t, err, b)
			return
		}
		l := base.with(d)
		p, err := l.Resolve(d.Name)
		if err != nil {
			checkProblems(t, err, nil)
			return
		}
		checkRanges(t, p)
		checkVariants(t, p)
		if s := Describe(p); strings.ContainsAny(s, "\n\r\x1b") || strings.Contains(s, "NaN") {
			t.Errorf("Describe gives %q", s)
		}
		text, err := l.Show(d.Name)
		if err != nil {
			t.Fatal(err)
		}
		again, err := Parse("shown", text)
		if err != nil {
			t.Fatalf("%q is shown as\n%s\n%v", b, text, err)
		}
		if q, err := base.with(again).Resolve(d.Name); err != nil || !reflect.DeepEqual(p, q) {
			t.Errorf("%q is shown as another profile:\n%s\n%v", b, text, err)
		}
	})
}

// with is the library with one document more, the one it was made of unchanged.
func (l *Library) with(d *Document) *Library {
	m := &Library{layers: map[string][]*Document{}, maps: l.maps, count: l.count + 1}
	for name, stack := range l.layers {
		m.layers[name] = stack[:len(stack):len(stack)]
	}
	m.layers[d.Name] = append(m.layers[d.Name], d)
	return m
}

func checkProblems(t *testing.T, err error, b []byte) {
	t.Helper()
	var ps Problems
	if !errors.As(err, &ps) || len(ps) == 0 || len(ps) > reading.ProblemLimit {
		t.Fatalf("the error is %T of %d problems: %v", err, len(ps), err)
	}
	for _, p := range ps {
		if s := p.Error(); strings.ContainsFunc(s, func(c rune) bool { return c == unicode.ReplacementChar || !unicode.IsPrint(c) }) {
			t.Errorf("%q is not one printable line", s)
		}
		// YAML counts carriage returns and three characters of Unicode as ends of lines too.
		if b == nil {
			continue
		}
		ends := bytes.Count(b, []byte("\n")) + bytes.Count(b, []byte("\r")) +
			bytes.Count(b, []byte("\u0085")) + bytes.Count(b, []byte("\u2028")) + bytes.Count(b, []byte("\u2029"))
		if p.Line < 0 || p.Line > ends+2 || p.Column < 0 || p.Text == "" {
			t.Errorf("%+v lies outside a document of %d lines", p, ends+1)
		}
	}
}

// checkVariants checks that each call calls one way of playing, and that each is complete.
func checkVariants(t *testing.T, p *expr.Profile) {
	t.Helper()
	if len(p.Variants) > 0 && p.Variants[0].Profile != p {
		t.Errorf("the first way of playing is %s, want the profile itself", p.Variants[0].Name)
	}
	named, called := map[string]*expr.Profile{}, map[string]bool{}
	for _, v := range p.Variants {
		if other := named[v.Name]; other != nil && other != v.Profile || v.Name == "" {
			t.Errorf("two ways of playing are called %q", v.Name)
		}
		named[v.Name] = v.Profile
		for kind, n := range map[string]int{"keyswitch": v.Keyswitch, "program": v.Program} {
			if call := fmt.Sprint(kind, n); n > 127 || n >= 0 && called[call] {
				t.Errorf("%s %d calls twice or nothing", kind, n)
			} else {
				called[call] = true
			}
		}
		if v.Profile.Name != p.Name || v.Profile.Family != p.Family || v.Profile != p && v.Profile.Variants != nil {
			t.Errorf("the way of playing %s is %+v", v.Name, v.Profile)
		}
		checkRanges(t, v.Profile)
		kept, err := Keep(p, v.Name)
		if err != nil || kept.Variants != nil {
			t.Errorf("keeping to %s: %v, %v", v.Name, kept, err)
		}
	}
}

func checkRanges(t *testing.T, p *expr.Profile) {
	t.Helper()
	within := func(what string, v, lo, hi float64) {
		t.Helper()
		if !(v >= lo && v <= hi) {
			t.Errorf("%s is %g, outside %g to %g", what, v, lo, hi)
		}
	}
	for what, k := range map[string]float64{"dynamics": p.Amounts.Of("marks"), "sustain": p.Amounts.Of("bloom"), "weighting": p.Amounts.Of("orchestra_weight"), "vibrato": p.Amounts.Of("vibrato")} {
		within("k of "+what, k, 0, 2)
	}
	within("players", float64(p.Players), 1, 500)
	within("depth", p.Vibrato.DepthLow, 0, 400)
	within("depth", p.Vibrato.DepthHigh, 0, 400)
	if p.Amounts.Of("vibrato") > 0 {
		within("rate", p.Vibrato.RateLow, 2, 12)
		within("rate", p.Vibrato.RateHigh, 2, 12)
	}
	within("onset in s", p.Vibrato.Onset.Seconds(), 0, 5)
	within("swell", p.Bloom.SwellDB, 0, 12)
	within("share", p.Weight.ShareDB, -12, 12)
	within("velocity of mf", p.Dynamics.Reading.Invert(0), 1, 127)
	for what, c := range map[string]*expr.Control{
		"level": &p.Sampler.Level, "depth": &p.Sampler.VibratoDepth, "rate": &p.Sampler.VibratoRate,
		"delay": &p.Sampler.VibratoDelay, "brightness": &p.Sampler.Brightness,
	} {
		if c.Number < 0 {
			continue
		}
		within("controller of "+what, float64(c.Number), 1, 119)
		before := math.Inf(-1)
		for v := 0.0; v <= 127; v++ {
			y := c.Response.At(v)
			if !(y >= before-1e-9) || math.IsInf(y, 0) {
				t.Fatalf("the response of %s is %g at %g, after %g", what, y, v, before)
			}
			before = y
		}
	}
}

// Whatever is given to ParseSeating, it either is refused with problems, or every
// seat has an address within its ranges and is found there, if no other is before it.
func FuzzParseSeating(f *testing.F) {
	f.Add([]byte(orchestra))
	f.Add([]byte("{swellbox: 1, ensemble: {controller_map: big-room}, seats: [{channel: 1, profile: violins, articulation: pizzicato}, {channel: 2, profile: harp, controller_map: none}]}"))
	f.Add([]byte("swellbox: 1\nseats: [{track: ' a\u00a0b', profile: ö}]"))
	f.Add([]byte("swellbox: 1\nensemble: {ceiling_db: -0}\nseats: [{port: 2, profile: a}, {port: 2, channel: 3, profile: b}]"))
	base := mapped(f, wellMapped)
	f.Fuzz(func(t *testing.T, b []byte) {
		s, err := ParseSeating("f", b)
		if err != nil {
			checkProblems(t, err, b)
			return
		}
		if e := s.Ensemble; !(e.HeadroomDB >= 0 && e.HeadroomDB <= 24 && e.CeilingDB >= 0 && e.CeilingDB <= 6) {
			t.Errorf("ensemble %+v", e)
		}
		first := len(s.Seats)
		for i, seat := range s.Seats {
			h := names.Hint{Port: seat.Port, Channel: seat.Channel, Track: seat.Track, Program: seat.Program, HasProgram: true}
			got, ok := s.For(h)
			if !ok {
				t.Fatalf("seat %d, %+v, is not found at its own address", i+1, seat)
			}
			if got == seat && first > i {
				first = i
			}
			if !reading.ValidName(seat.Profile) || seat.Articulation != "" && !reading.ValidName(seat.Articulation) || seat.ControllerMap != "" && !reading.ValidName(seat.ControllerMap) || seat.Channel > 16 || seat.Program > 128 || len(seat.Track) > reading.TextLimit {
				t.Errorf("seat %d: %+v", i+1, seat)
			}
		}
		if first != 0 {
			t.Error("the first seat is not the one found at its address")
		}
		if err := s.Check(base); err != nil {
			checkProblems(t, err, b)
			return
		}
		for _, seat := range s.Seats {
			p, err := base.ResolveFor(seat.Profile, cmp.Or(seat.ControllerMap, s.Ensemble.ControllerMap))
			if err == nil && seat.Articulation != "" {
				_, err = Keep(p, seat.Articulation)
			}
			if err != nil {
				t.Errorf("%+v has been checked, but: %v", seat, err)
			}
		}
	})
}

// Whatever is given to ParseControllerMap, it either is refused with problems, or each
// profile seen through it is refused with problems too, or is within all ranges and
// has its music unchanged.
func FuzzParseControllerMap(f *testing.F) {
	f.Add([]byte(wellMapped))
	f.Add([]byte("{swellbox: 1, controller_map: a, everyone: {sampler: {velocity: none, level: {controller: 20, bits: 14}}, variants: [{name: pizzicato, sampler: {level: none}}]}}"))
	f.Add([]byte("{swellbox: 1, controller_map: ö, profiles: {trumpet: {articulation: {program: [1, 2]}, variants: [{name: muted, keyswitch: 0, program: 2}]}}}"))
	f.Add([]byte("{swellbox: 1, controller_map: a, families: {brass: {sampler: {brightness: none, incoming: {level: leave}}}}, profiles: {harp: {sampler: {level: none}}}}"))
	base := library(f)
	f.Fuzz(func(t *testing.T, b []byte) {
		m, err := ParseControllerMap("f", b)
		if err != nil {
			checkProblems(t, err, b)
			return
		}
		if any, err := ParseAny("f", b); err == nil && (any.ControllerMap == nil) {
			t.Errorf("%q is a controller map and something else too", b)
		}
		for _, name := range []string{"violins-1", "trumpet", "harp", "plain"} {
			p, err := base.resolve(name, m)
			if err != nil {
				checkProblems(t, err, nil)
				continue
			}
			checkRanges(t, p)
			checkVariants(t, p)
			bare, err := base.Resolve(name)
			if err != nil {
				t.Fatal(err)
			}
			if bare.Family != p.Family || bare.Players != p.Players || !reflect.DeepEqual(bare.Vibrato, p.Vibrato) || bare.Bloom != p.Bloom || bare.Weight != p.Weight ||
				bare.Amounts.Of("marks") != p.Amounts.Of("marks") || bare.Dynamics.Carrier != p.Dynamics.Carrier {
				t.Errorf("the map has changed the music of %s", name)
			}
		}
	})
}
