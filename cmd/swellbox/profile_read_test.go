package main

import (
	"encoding/json"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swellbox/cmd/swellbox/profile"
	"swellbox/profiles"
)

const (
	hornAtHome   = "swellbox: 1\nname: horn\nextends: horn\nvibrato: {amount: 0.25}\n"
	hornInStudio = "swellbox: 1\nname: horn\nextends: horn\norchestra_weight: {amount: 0.5}\n"
	violBroken   = "swellbox: 1\nname: viol\nextends: viola\nloudness: 3\nplayers: 0\n"
	mapOfRoom    = "swellbox: 1\ncontroller_map: room\neveryone: {sampler: {level: {controller: 20}}}\n"
)

// libraried is a desktop with profiles at home, in a folder of its own and in a studio.
func libraried(t *testing.T) (d *desktop, flags []string) {
	d = atDesktop(t)
	d.file("user/swellbox/profiles/horn.yaml", hornAtHome)
	d.file("further/mine.yaml", "swellbox: 1\nname: mine\nextends: flute\n")
	d.file("studio/horn.yaml", hornInStudio)
	d.file("studio/room.yaml", mapOfRoom)
	return d, []string{"--profiles", "further", "--studio", "studio"}
}

func listOf(t *testing.T, text string) (l profile.Listing) {
	t.Helper()
	if err := json.Unmarshal([]byte(text), &l); err != nil {
		t.Fatalf("%v in %s", err, text)
	}
	return l
}

func find(t *testing.T, all []profile.Listed, name string) profile.Listed {
	t.Helper()
	i := slices.IndexFunc(all, func(d profile.Listed) bool { return d.Name == name })
	if i < 0 {
		t.Fatalf("%s is not listed", name)
	}
	return all[i]
}

func TestProfileList(t *testing.T) {
	d, flags := libraried(t)
	home := filepath.Join(d.dir, "user", "swellbox", "profiles")
	for prefer, want := range map[string][]string{
		"own":    {"own, " + home, "studio, studio", "built-in"},
		"studio": {"studio, studio", "own, " + home, "built-in"},
	} {
		l := listOf(t, d.must(append(flags, "--prefer", prefer, "--json", "profile", "list")...))
		horn := find(t, l.Profiles, "horn")
		got := []string{horn.Origin.String()}
		for _, h := range horn.Hides {
			got = append(got, h.Origin.String())
		}
		if !slices.Equal(got, want) || horn.Family != "brass" || len(horn.Hash) != 64 || len(l.Warnings) != 0 {
			t.Errorf("prefer %s: %+v, warnings %q, want the layers %q", prefer, horn, l.Warnings, want)
		}
		if mine := find(t, l.Profiles, "mine"); mine.Origin.Kind != profiles.Own || mine.File != filepath.Join("further", "mine.yaml") || len(mine.Hides) != 0 || !strings.HasPrefix(mine.Description, "1 player; pp") {
			t.Errorf("mine: %+v", mine)
		}
		if violins := find(t, l.Profiles, "violins"); !slices.Equal(violins.Variants, []string{"tremolo", "pizzicato"}) {
			t.Errorf("violins: %+v", violins)
		}
		if room := find(t, l.ControllerMaps, "room"); room.Origin.Kind != profiles.Studio {
			t.Errorf("room: %+v", room)
		}
	}
	t.Setenv("COLUMNS", "400") // a line each
	var horn string
	for line := range strings.Lines(d.must(append(flags, "profile", "list")...)) {
		if strings.HasPrefix(line, "horn ") {
			horn = strings.Join(strings.Fields(line), " ")
		}
	}
	if want := "horn brass own, " + home + " studio, studio; built-in 1 player; pp −12.6 to ff +8.0 dB by controller 11"; !strings.HasPrefix(horn, want) {
		t.Errorf("the line is %q, want %q", horn, want)
	}
}

// A broken file, or one that breaks those resting on it, is a warning in the list.
func TestProfileListWithBrokenFiles(t *testing.T) {
	d, flags := libraried(t)
	d.file("further/viol.yaml", violBroken)
	d.file("further/brass.yaml", "swellbox: 1\nname: brass\nextends: bras\n")
	for _, form := range []string{"", "--json"} {
		args := append(slices.Clone(flags), "profile", "list")
		if form != "" {
			args = append(args, form)
		}
		status, out, errs := d.run(args...)
		if status != 0 || !strings.Contains(out, "violins") {
			t.Fatalf("status %d, %s", status, errs)
		}
		if form != "" {
			errs = strings.Join(listOf(t, out).Warnings, "\n")
		}
		for _, want := range []string{"viol.yaml:4:1: the key \"loudness\" is not known", "viol.yaml:5:10: players: found \"0\"", "the profile trumpet cannot be used", "the nearest is \"brass\""} {
			if !strings.Contains(errs, want) {
				t.Errorf("%s: no warning with %s:\n%s", form, want, errs)
			}
		}
	}
}

func TestProfileShow(t *testing.T) {
	d, flags := libraried(t)
	out := d.must(append(flags, "profile", "show", "horn", "--player-map", "room")...)
	for _, want := range []string{"amount: 0.25 # [horn, own]", "amount: 0.5 # [horn, studio]", "controller: 20 # [controller map room]", "swell_db: 0.5 # [brass]"} {
		if !strings.Contains(out, want) {
			t.Errorf("lacks %q:\n%s", want, out)
		}
	}
	if strings.Contains(out, "published") || strings.Contains(out, "Rimsky") {
		t.Errorf("sources are told unasked:\n%s", out)
	}
	full := d.must(append(flags, "profile", "show", "horn", "--player-map", "room", "--sources")...)
	if !strings.Contains(full, "Rimsky") || profile.WithoutSources(full) != out {
		t.Errorf("with its sources it is\n%s", full)
	}
	var shown struct {
		Of       []profile.ListedSource
		Document string
	}
	if err := json.Unmarshal([]byte(d.must(append(flags, "--json", "profile", "show", "horn")...)), &shown); err != nil {
		t.Fatal(err)
	}
	if len(shown.Of) != 6 || shown.Of[0].Origin.Kind != profiles.Own || shown.Of[1].Origin.Kind != profiles.Studio || !strings.Contains(shown.Document, "amount: 0.25") {
		t.Errorf("%+v", shown)
	}
}

func TestWithoutSources(t *testing.T) {
	got := profile.WithoutSources("# head\n#   [a] built-in\nswellbox: 1 # [a]\n# Source: a book\nname: \"a # b\" # from it # [a]\nvibrato: # memory\n  k: 1 # [a]\n")
	if want := "# head\n#   [a] built-in\nswellbox: 1 # [a]\nname: \"a # b\" # [a]\nvibrato:\n  k: 1 # [a]\n"; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestProfileCurves(t *testing.T) {
	d, flags := libraried(t)
	t.Setenv("LC_ALL", "C.UTF-8")
	show := func(args ...string) string {
		return d.must(append(append(slices.Clone(flags), "profile", "show", "violins"), args...)...)
	}
	whole := show("--curves")
	if !strings.HasPrefix(whole, "violins: strings, 12 players") || !strings.Contains(whole, "vibrato") || !strings.Contains(whole, "•") {
		t.Errorf("curves:\n%s", whole)
	}
	if plucked := show("--curves", "--articulation", "pizzicato"); plucked == whole || !strings.Contains(plucked, "by velocity") {
		t.Errorf("curves of pizzicato:\n%s", plucked)
	}
	if mapped := show("--curves", "--player-map", "room"); !strings.Contains(mapped, "controller 20") {
		t.Errorf("curves through the controller map:\n%s", mapped)
	}
	if out := show("--svg", "violins.svg"); out != "" || !strings.Contains(d.read("violins.svg"), "</svg>") {
		t.Errorf("picture: printed %q", out)
	}
	t.Setenv("LC_ALL", "C")
	if ascii := show("--curves"); strings.ContainsAny(ascii, "•│└") {
		t.Errorf("curves where only ASCII can be shown:\n%s", ascii)
	}
}

func TestProfileCheck(t *testing.T) {
	d, flags := libraried(t)
	check := func(args ...string) (int, string, string) {
		return d.run(append(append(slices.Clone(flags), "profile", "check"), args...)...)
	}
	status, out, errs := check()
	if status != 0 || !strings.HasPrefix(out, "nothing is wrong with ") {
		t.Errorf("all well: status %d, %s%s", status, out, errs)
	}
	d.file("viol.yaml", violBroken)
	d.file("seats.yaml", "swellbox: 1\nseats:\n  - {channel: 1, profile: theremin}\n")
	d.file("map.yaml", "swellbox: 1\ncontroller_map: m\nprofiles: {horns: {}}\n")
	d.file("strings.yaml", "swellbox: 1\nname: strings\nextends: strings\nvibrato: {high_pitch: 50}\n")
	d.file("fine.yaml", "swellbox: 1\nname: fine\nextends: viola\n")
	status, out, errs = check("viol.yaml", "seats.yaml", "map.yaml", "strings.yaml", "fine.yaml", "none.yaml")
	for _, want := range []string{
		`viol.yaml:4:1: the key "loudness" is not known`, "viol.yaml:5:10: players: found \"0\"", `seats.yaml:3:27: seats[1].profile: no profile is named "theremin"`,
		`map.yaml:3:12: profiles.horns: no profile is named "horns", the nearest is "horn"`, "strings.yaml:4:23: vibrato.high_pitch: found 50, allowed is more than low_pitch, which is 55",
		"cannot read the document: stat none.yaml",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("lacks %q:\n%s", want, out)
		}
	}
	lines := strings.Count(out, "\n")
	if status != 1 || errs != "swellbox: 6 problems in 6 documents\n" || lines != 6 {
		t.Errorf("status %d, %d lines, %s\n%s", status, lines, errs, out)
	}
	status, out, _ = d.run(append(flags, "--json", "profile", "check", "viol.yaml")...)
	var c profile.Checked
	if err := json.Unmarshal([]byte(out), &c); err != nil || status != 1 || c.Checked != 1 || len(c.Problems) != 2 || c.Problems[1].Key != "players" || c.Problems[1].Line != 5 {
		t.Errorf("status %d, %+v, %v", status, c, err)
	}
	// Without files, all that the settings name is checked, and the seating.
	d.file("further/viol.yaml", violBroken)
	status, out, errs = d.run(append(flags, "--seating", "seats.yaml", "profile", "check")...)
	if status != 1 || !strings.Contains(out, "viol.yaml:5:10") || !strings.Contains(out, "theremin") || !strings.HasPrefix(errs, "swellbox: 3 problems in ") {
		t.Errorf("status %d, %s%s", status, out, errs)
	}
}

func TestProfileSchema(t *testing.T) {
	d := atDesktop(t)
	for _, kind := range append([]profiles.Kind{""}, profiles.Kinds...) {
		args := []string{"profile", "schema"}
		if kind != "" {
			args = append(args, string(kind))
		} else {
			kind = profiles.KindProfile
		}
		want, err := profiles.Schema(kind)
		if err != nil {
			t.Fatal(err)
		}
		if got := d.must(args...); got != string(want) {
			t.Errorf("%v: another schema than that of the package", args)
		}
	}
}

func TestProfileReadRefusals(t *testing.T) {
	for name, c := range map[string]struct {
		args   string
		status int
		want   string
	}{
		"list with arguments":           {"profile list horn", 2, "expected no argument"},
		"show nothing":                  {"profile show", 2, "expected the name of a profile"},
		"show an unknown":               {"profile show hron", 1, `no profile is named "hron", the nearest is "horn"`},
		"show a way that there is not":  {"profile show violins --articulation nonsuch", 1, `has no articulation "nonsuch"; it has sustained, tremolo, pizzicato`},
		"show a way without its curves": {"profile show violins --articulation pizzicato", 2, "add --curves or --svg"},
		"show through no map":           {"profile show horn --controller-map rom", 1, `no controller map is named "rom"`},
		"curves of no way":              {"profile show violins --curves --articulation pizicato", 1, `the nearest is "pizzicato"`},
		"picture into nowhere":          {"profile show horn --svg none/horn.svg", 1, "none/horn.svg"},
		"schema of no kind":             {"profile schema score", 2, `the kind of document is "score"; it can be profile, seating or controller-map`},
		"live, broken seating":          {"live --seating seats.yaml", 1, `seats.yaml:3:27: seats[1].profile: no profile is named "theremin"`},
	} {
		t.Run(name, func(t *testing.T) {
			d := atDesktop(t)
			d.file("seats.yaml", "swellbox: 1\nseats:\n  - {channel: 1, profile: theremin}\n")
			status, out, errs := d.run(strings.Fields(c.args)...)
			if status != c.status || out != "" || !strings.Contains(errs, c.want) || strings.Count(errs, "\n") != 1 {
				t.Errorf("status %d, %q, %q, want %d with %s on one line", status, out, errs, c.status, c.want)
			}
		})
	}
}
