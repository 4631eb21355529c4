package main

import (
	"context"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
)

// settled is what a command line makes of file, environment and flags.
func (d *desktop) settled(args ...string) settings.Settings {
	d.t.Helper()
	p := &program.Program{}
	root := rootCommand(p)
	root.AddCommand(&cobra.Command{Use: "nothing", RunE: func(*cobra.Command, []string) error { return nil }})
	root.SetArgs(append([]string{"nothing"}, args...))
	if err := root.ExecuteContext(context.Background()); err != nil {
		d.t.Fatal(err)
	}
	return p.Settings
}

// A flag beats the environment, which beats the file, which beats the default.
func TestSettingsPrecedence(t *testing.T) {
	d := atDesktop(t)
	if s := d.settled(); s.FootController != 0 || s.Log != "info" || s.FootHold || s.JSON || len(s.Profiles) != 0 {
		t.Errorf("with nothing set: %+v", s)
	}
	d.file("user/swellbox/config.yaml", "foot_controller: 20\nlog: debug\nfoot_hold: true\nprofiles: [a, b]\n")
	if s := d.settled(); s.FootController != 20 || s.Log != "debug" || !s.FootHold || !slices.Equal(s.Profiles, []string{"a", "b"}) {
		t.Errorf("from the file in its place: %+v", s)
	}
	t.Setenv("SWELLBOX_FOOT_CONTROLLER", "21")
	t.Setenv("SWELLBOX_PROFILES", "c,d")
	t.Setenv("SWELLBOX_CONTROL", "/from/environment")
	t.Setenv("SWELLBOX_JSON", "true")
	if s := d.settled(); s.FootController != 21 || s.Log != "debug" || !slices.Equal(s.Profiles, []string{"c", "d"}) || s.Control != "/from/environment" || !s.JSON {
		t.Errorf("from the environment: %+v", s)
	}
	if s := d.settled("--foot-controller", "22", "--profiles", "e", "--profiles", "f", "--json=false"); s.FootController != 22 || !slices.Equal(s.Profiles, []string{"e", "f"}) || s.JSON {
		t.Errorf("from the flags: %+v", s)
	}
	d.file("user/swellbox/config.yaml", "lookahead: 500\nrubato: 0.5\nseed: 7\nwith_clock: true\nwithout: [vibrato, pedal]\n")
	if s := d.settled(); s.Lookahead != 500 || s.Rubato != 0.5 || s.Seed != 7 || !s.WithClock || !slices.Equal(s.Without, []string{"vibrato", "pedal"}) || len(s.Only) != 0 {
		t.Errorf("how to perform: %+v", s)
	}
	t.Setenv("SWELLBOX_LOOKAHEAD", "250")
	if m := d.settled(); m.Manner().Lookahead != 250*time.Millisecond {
		t.Errorf("how to perform, from the environment: %+v", m.Manner())
	}
	other := d.file("other", "log: warn\n") // its name need not tell what it is
	if s := d.settled("--config", other); s.Log != "warn" || s.FootHold {
		t.Errorf("from another file: %+v", s)
	}
}

// What the environment says wrongly is told in the words of the settings.
func TestSettingsFromAWrongEnvironment(t *testing.T) {
	d := atDesktop(t)
	t.Setenv("SWELLBOX_FOOT_HOLD", "maybe")
	status, _, errs := d.run("ports")
	if status != 1 || !strings.Contains(errs, `foot_hold is "maybe"; it can be true or false`) {
		t.Errorf("status %d, %q", status, errs)
	}
}

func TestControlPath(t *testing.T) {
	d := atDesktop(t)
	if path, err := (&settings.Settings{}).ControlPath(); err != nil || path != filepath.Join(d.dir, "run", "swellbox", "control.sock") {
		t.Errorf("the control socket is %s (%v)", path, err)
	}
	if path, err := (&settings.Settings{Control: "x"}).ControlPath(); err != nil || path != "x" {
		t.Errorf("the control socket is %s (%v)", path, err)
	}
}
