package main

import (
	"encoding/json"
	"strings"
	"testing"

	"swellbox/cmd/swellbox/profile"
)

// A document with old names is warned of once, with the new ones and what writes them; that
// keeps a copy, and after it there is nothing to warn of and nothing to do.
func TestProfileUpdate(t *testing.T) {
	d := atDesktop(t)
	const old, now = "swellbox: 1\nname: viol # ours\nextends: viola\nvibrato: {k: 0.5} # dry\nplayer:\n  level: {controller: 11, law: standard}\n",
		"swellbox: 1\nname: viol # ours\nextends: viola\nvibrato: {amount: 0.5} # dry\nsampler:\n  level: {controller: 11, curve: standard}\n"
	d.file("own/viol.yaml", old)
	status, before, errs := d.run("profile", "show", "--profiles", "own", "viol")
	if status != 0 || strings.Count(errs, "own/viol.yaml has old names") != 1 {
		t.Fatalf("status %d, %q", status, errs)
	}
	contains(t, strings.Join(strings.Fields(errs), " "), "swellbox profile update own/viol.yaml writes the present ones", `vibrato.k: this key is now called "vibrato.amount"`, `player.level.law: this key is now called "sampler.level.curve"`)

	contains(t, d.must("profile", "update", "own/viol.yaml"), "own/viol.yaml: 3 names changed, the file as it was is kept as own/viol.yaml.old", "line 4: vibrato.k is now vibrato.amount")
	if got := d.read("own/viol.yaml"); got != now {
		t.Errorf("it is\n%s, want\n%s", got, now)
	}
	if got := d.read("own/viol.yaml.old"); got != old {
		t.Errorf("the copy is\n%s", got)
	}
	status, after, errs := d.run("profile", "show", "--profiles", "own", "viol")
	if status != 0 || errs != "" || after != before {
		t.Errorf("status %d, %q, and it shows\n%s, before\n%s", status, errs, after, before)
	}
	contains(t, d.must("profile", "update", "own/viol.yaml"), "has no old names and stays as it is")

	// A second old file keeps its own copy, and the first is not lost.
	d.file("own/viol.yaml", strings.ReplaceAll(old, "0.5", "0.6"))
	contains(t, d.must("profile", "update", "own/viol.yaml"), "kept as own/viol.yaml.old2")
	if d.read("own/viol.yaml.old") != old {
		t.Error("the first copy is lost")
	}

	d.file("seating.yaml", "swellbox: 1\nseats: [{channel: 1, profile: viola, player_map: general-midi}]\n")
	var all []profile.Updated
	if err := json.Unmarshal([]byte(d.must("profile", "update", "--json", "seating.yaml")), &all); err != nil || len(all) != 1 || len(all[0].Renamed) != 1 || all[0].Renamed[0].Now != "seats[1].controller_map" {
		t.Errorf("%+v, %v", all, err)
	}
	d.file("own/bad.yaml", "swellbox: 1\nname: bad\nvibrato: {k: 1, amount: 1}\n")
	if out := d.fails("profile", "update", "own/bad.yaml"); !strings.Contains(out, `own/bad.yaml:3:11: vibrato.k: this key is now called "vibrato.amount", which is given too`) {
		t.Error(out)
	}
}

// A value is set by its old path too, in a document that has old names, which it then has no more.
func TestSetByAnOldName(t *testing.T) {
	d := atDesktop(t)
	d.file("own/viol.yaml", "swellbox: 1\nname: viol\nextends: viola\nweighting: {k: 0.5} # less\n")
	status, _, errs := d.run("profile", "set", "--profiles", "own", "viol", "weighting.share_db", "1")
	if status != 0 || !strings.Contains(errs, "weighting.share_db is now called orchestra_weight.extra_db") {
		t.Errorf("status %d, %q", status, errs)
	}
	if got, want := d.read("own/viol.yaml"), "swellbox: 1\nname: viol\nextends: viola\norchestra_weight: {amount: 0.5, extra_db: 1} # less\n"; got != want {
		t.Errorf("it is\n%s, want\n%s", got, want)
	}
}
