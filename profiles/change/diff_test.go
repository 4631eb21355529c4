package change

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/acoustics"
	"swellbox/expr/habits"
	"swellbox/profiles"
)

func resolved(t testing.TB, doc string) *expr.Profile {
	t.Helper()
	l, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	d, err := profiles.Parse("test", []byte(doc))
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

func said(ls []Line) []string {
	var s []string
	for _, l := range ls {
		s = append(s, l.String())
	}
	return s
}

func TestDiffInTheWordsOfMusic(t *testing.T) {
	const doc = "{swellbox: 1, name: a, extends: violins, variants: [], vibrato: {depth_low_cents: 32}}"
	a := resolved(t, doc)
	for _, c := range []struct{ path, value, want string }{
		{"name", "b", "name a → b"},
		{"vibrato.depth_low_cents", "40", "vibrato depth at mf, low register 32 → 40 cents, +25 %"},
		{"vibrato.depth_low_cents", "32.001", "vibrato depth at mf, low register 32 → 32.001 cents, +0.0031 %"},
		{"vibrato.rate_low_hz", "5.5", "vibrato rate at mf, low register 5.7 → 5.5 Hz, −4 %"},
		{"vibrato.onset_ms", "150", "straight tone before the vibrato 200 → 150 ms, −25 %"},
		{"vibrato.growth_ms", "0", "growth of the vibrato 600 → 0 ms, −100 %"},
		{"vibrato.depth_percent_per_db", "3", "vibrato deeper when louder, by 2 → 3 % a dB"},
		{"vibrato.open_strings", "[55, 62]", "open strings G3 → G3 D4"},
		{"vibrato.open_strings", "[]", "open strings G3 → none"},
		{"vibrato.low_pitch", "57", "low register of the vibrato, at G3 → A3"},
		{"orchestra_weight.extra_db", "-1.5", "weight in forte 0 → −1.5 dB, −1.5 dB"},
		{"players", "18", "players 12 → 18, +50 %"},
		{"marks.carried_by", "both", "level carried by the controller → the velocity and the controller"},
		{"sampler.level.controller", "7", "controller of the level 11 → 7"},
		{"sampler.level.bits", "14", "resolution of the controller of the level 7 bits → 14 bits"},
		{"sampler.vibrato_depth", "none", "controller of the vibrato depth 1 → none"},
		{"sampler.velocity", "none", "the sampler's answer to velocity −120 to 0 dB against full level → none"},
		{"sampler.incoming.level", "replace", "a level controller that comes in is added to ours → dropped"},
		{"players", "12", ""},
	} {
		b, err := Set([]byte(doc), c.path, c.value)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(said(Diff(a, resolved(t, string(b)))), "\n"); got != c.want {
			t.Errorf("%s %s: %q, want %q", c.path, c.value, got, c.want)
		}
	}
}

func curve(t testing.TB, points ...expr.Point) *expr.Curve {
	t.Helper()
	c, err := expr.NewCurve(points...)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestDiffOfCurves(t *testing.T) {
	line := curve(t, expr.Point{X: 0, Y: -80}, expr.Point{X: 127, Y: 47})
	loud := curve(t, expr.Point{X: 0, Y: -80}, expr.Point{X: 80, Y: 0}, expr.Point{X: 96, Y: 17}, expr.Point{X: 112, Y: 32}, expr.Point{X: 127, Y: 47})
	a, b := &expr.Profile{}, &expr.Profile{}
	a.Dynamics.Reading, b.Dynamics.Reading = line, loud
	got := said(Diff(a, b))
	if !slices.Contains(got, "level at f 16 → 17 dB against mf, +1 dB") || slices.ContainsFunc(got, func(s string) bool { return strings.HasPrefix(s, "level at mf") }) {
		t.Errorf("%q", got)
	}
	var knots []expr.Point
	for v := range 128 {
		knots = append(knots, expr.Point{X: float64(v), Y: float64(v - 80)})
	}
	knots[5].Y -= 0.5
	b.Dynamics.Reading = curve(t, knots...)
	if got, want := said(Diff(a, b)), []string{"level at velocity 5 −75 → −75.5 dB against mf, −0.5 dB"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestDiffOfVariants(t *testing.T) {
	short := func(depth float64) *expr.Profile { return &expr.Profile{Vibrato: expr.Vibrato{DepthLow: depth}} }
	a := &expr.Profile{Name: "a"}
	b := &expr.Profile{Name: "a"}
	called := func(name string, keyswitch, program int, p *expr.Profile) expr.Variant {
		return expr.Variant{Name: name, Keyswitch: keyswitch, Program: program, Profile: p}
	}
	a.Variants = []expr.Variant{called("long", 24, -1, a), called("short", 25, -1, short(10)), called("muted", 26, 4, short(10)), called("odd", -1, -1, nil)}
	b.Variants = []expr.Variant{called("short", 27, -1, short(20)), called("long", 24, -1, b), called("plucked", -1, 45, short(0)), called("short", -1, 8, short(20)), called("odd", -1, -1, nil)}
	// "long" is the profile itself, and "odd" changes as the profile does.
	a.Amounts.Set("vibrato", 1)
	b.Amounts.Set("vibrato", 2)
	a.Variants[3].Profile, b.Variants[4].Profile = &expr.Profile{Amounts: a.Amounts}, &expr.Profile{Amounts: b.Amounts}
	want := []string{
		"amount of the vibrato 1 → 2, +100 %",
		"way of playing short, keyswitch C♯1 → keyswitch E♭1; program 9",
		"short: vibrato depth at mf, low register 10 → 20 cents, +100 %",
		"way of playing muted, keyswitch D1; program 5 → none",
		"way of playing plucked, none → program 46",
	}
	if got := said(Diff(a, b)); !slices.Equal(got, want) {
		t.Errorf("%q\nwant %q", got, want)
	}
}

// full is a profile with something in every field.
func full(t testing.TB) *expr.Profile {
	t.Helper()
	p := &expr.Profile{}
	fill(t, reflect.ValueOf(p).Elem(), true)
	return p
}

// fill gives every field under v a value, a different one if changed.
func fill(t testing.TB, v reflect.Value, variants bool) {
	t.Helper()
	switch x := v.Addr().Interface().(type) {
	case **expr.Curve:
		*x = curve(t, expr.Point{X: 0, Y: 1}, expr.Point{X: 127, Y: 90})
		return
	case **acoustics.Instrument:
		*x = acoustics.Instruments()[0]
		return
	case *expr.Amounts:
		for _, about := range habits.All() {
			x.Set(about.Key, 1)
		}
		return
	case **expr.Measured:
		*x = &expr.Measured{}
		fill(t, reflect.ValueOf(*x).Elem(), variants)
		return
	case **expr.Profile:
		*x = &expr.Profile{}
		fill(t, reflect.ValueOf(*x).Elem(), false)
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if variants || v.Type().Field(i).Name != "Variants" {
				fill(t, v.Field(i), variants)
			}
		}
	case reflect.Array:
		for i := range v.Len() {
			fill(t, v.Index(i), variants)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(t, v.Index(0), variants)
	case reflect.String:
		v.SetString("x")
	case reflect.Int, reflect.Int64:
		v.SetInt(2 * int64(time.Millisecond))
		if v.Kind() == reflect.Int {
			v.SetInt(20)
		}
	case reflect.Uint8:
		v.SetUint(1)
	case reflect.Float64:
		v.SetFloat(3)
	case reflect.Bool:
		v.SetBool(false)
	default:
		t.Fatalf("expr.Profile has a %s, which this test does not know", v.Kind())
	}
}

// alter changes each field under v in turn and calls try after each.
func alter(t testing.TB, v reflect.Value, path string, try func(path string)) int {
	t.Helper()
	n := 1
	switch x := v.Addr().Interface().(type) {
	case **expr.Curve:
		old := *x
		*x = curve(t, expr.Point{X: 0, Y: 1}, expr.Point{X: 127, Y: 91})
		try(path)
		*x = nil
		try(path + " (none)")
		*x = old
		return n
	case **acoustics.Instrument:
		old := *x
		*x = acoustics.Instruments()[1]
		try(path)
		*x = nil
		try(path + " (none)")
		*x = old
		return 1
	case *expr.Amounts:
		for _, about := range habits.All() {
			if !about.All {
				old := *x
				x.Set(about.Key, 2)
				try(path + "." + about.Key)
				*x = old
				n++
			}
		}
		return n
	case **expr.Measured:
		n = alter(t, reflect.ValueOf(*x).Elem(), path, try)
		old := *x
		*x = nil
		try(path + " (none)")
		*x = old
		return n + 1
	case **expr.Profile:
		return alter(t, reflect.ValueOf(*x).Elem(), path, try)
	}
	old := reflect.New(v.Type()).Elem()
	old.Set(v)
	switch v.Kind() {
	case reflect.Struct:
		n = 0
		for i := range v.NumField() {
			f := v.Type().Field(i)
			inVariant := strings.Contains(path, "Variants")
			// Of a way of playing these are not used, or are those of the whole.
			if inVariant && (f.Name == "Variants" || v.Type() == reflect.TypeFor[expr.Profile]() && (f.Name == "Name" || f.Name == "Family")) {
				continue
			}
			n += alter(t, v.Field(i), path+"."+f.Name, try)
		}
		return n
	case reflect.Array:
		for _, i := range []int{0, v.Len() - 1} {
			n += alter(t, v.Index(i), fmt.Sprintf("%s[%d]", path, i), try)
		}
		return n
	case reflect.Slice:
		if v.Len() == 1 {
			n = alter(t, v.Index(0), path+"[0]", try)
		}
		v.SetLen(0)
		try(path + " (empty)")
	case reflect.String:
		v.SetString("y")
		try(path)
	case reflect.Int, reflect.Int64:
		v.SetInt(v.Int() + 1)
		try(path)
	case reflect.Uint8:
		v.SetUint(v.Uint() + 1)
		try(path)
	case reflect.Float64:
		v.SetFloat(v.Float() + 1)
		try(path)
	case reflect.Bool:
		v.SetBool(!v.Bool())
		try(path)
	}
	v.Set(old)
	return n
}

// No field of a profile can change without a line.
func TestDiffCoversEveryField(t *testing.T) {
	a, b := full(t), full(t)
	if ls := Diff(a, b); len(ls) > 0 {
		t.Fatalf("equal profiles differ: %q", said(ls))
	}
	n := alter(t, reflect.ValueOf(b).Elem(), "Profile", func(path string) {
		ls := Diff(a, b)
		if len(ls) == 0 {
			t.Errorf("%s changes and nothing is said", path)
		}
		for _, l := range ls {
			if l.Before == l.After || l.About == "" || strings.Contains(l.String(), "NaN") {
				t.Errorf("%s changes, which is told as %q", path, l)
			}
		}
	})
	if n < 100 {
		t.Errorf("%d fields tried, the walk has lost some", n)
	}
	if ls := Diff(a, b); len(ls) > 0 {
		t.Errorf("the walk left a change: %q", said(ls))
	}
}
