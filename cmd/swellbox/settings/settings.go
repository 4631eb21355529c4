// Package settings reads what all commands share from a file, the environment and flags, and the
// profiles and the seating that they name. It knows no command.
package settings

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/rs/zerolog"
	"github.com/spf13/pflag"
	"github.com/spf13/viper"

	"swellbox/cmd/swellbox/usage"
	"swellbox/expr/engine"
	"swellbox/profiles"
	"swellbox/proxy/control"
	"swellbox/proxy/live"
)

// Settings is the program's configuration: what every command shares. A flag beats
// the environment (SWELLBOX_CONTROL and so on), which beats the file.
type Settings struct {
	Control       string   `mapstructure:"control"`
	Home          string   `mapstructure:"home"`
	Profiles      []string `mapstructure:"profiles"`
	Studio        []string `mapstructure:"studio"`
	Prefer        string   `mapstructure:"prefer"`
	Author        string   `mapstructure:"author"`
	Seating       string   `mapstructure:"seating"`
	ControllerMap string   `mapstructure:"controller_map"`
	Place         string   `mapstructure:"place"`
	FootSettings  `mapstructure:",squash"`
	CableSpeed    int    `mapstructure:"cable_speed"`
	Log           string `mapstructure:"log"`
	JSON          bool   `mapstructure:"json"`

	// Of the commands that perform; see mannerFlags.
	Lookahead int      `mapstructure:"lookahead"` // ms
	Rubato    float64  `mapstructure:"rubato"`
	Seed      uint64   `mapstructure:"seed"`
	WithClock bool     `mapstructure:"with_clock"`
	Only      []string `mapstructure:"only"`
	Without   []string `mapstructure:"without"`

	Unseated bool             // by the user's word, so that no seating is looked for
	keeper   *profiles.Keeper // of the documents that were last good
}

// FootSettings are those of a foot switch; see [live.FootSwitch].
type FootSettings struct {
	FootController int  `mapstructure:"foot_controller"`
	FootChannel    int  `mapstructure:"foot_channel"`
	FootHold       bool `mapstructure:"foot_hold"`
}

// AddFlags declares the flags of the settings.
func AddFlags(f *pflag.FlagSet) {
	f.String("config", "", "configuration `file` (default: swellbox/config.yaml in the user's configuration folder)")
	f.String("control", "", "control `socket` of the running swellbox")
	f.String("home", "", "`folder` of your own profiles, of what you installed and whom you trust (default: swellbox in the user's configuration folder)")
	f.StringSlice("profiles", nil, "further `folder` of your own profiles (may be repeated)")
	f.StringSlice("studio", nil, "`folder` of profiles that a studio shares (may be repeated)")
	f.String("prefer", "own", "`whose` profile wins where you and the studio both have one of the same name: own or studio")
	f.String("author", "", "your `name`, as the history of profiles shows it")
	f.String("seating", "", "seating document, a `file` that says which part plays with which profile, or none (default: one that lies beside the piece)")
	f.String("controller-map", "", "what the sampler listens to, for all parts: the `name` of a controller map, general-midi, dynamics-on-1, dynamics-on-11, velocity-only or one of yours")
	f.String("place", "hall", "the `place` in which the parts stand at the start: hall or studio")
	f.Int("foot-controller", 0, "incoming controller that switches raw and shaped, 1 to 119; 0 for none")
	f.Int("foot-channel", 0, "channel of that controller, 1 to 16; 0 for any")
	f.Bool("foot-hold", false, "raw while it is held, instead of switching over at each press")
	f.Int("cable-speed", 0, fmt.Sprintf("most `bytes` a second that each output is sent, %d for one that leads over a MIDI cable; notes go first, and of controllers what is heard most; 0 for as many as there are", live.CableSpeed))
	f.String("log", "info", "least `level` of what to log: debug, info, warn or error")
	f.Bool("json", false, "print JSON for scripts")
}

// settingNames are the flags that are settings as well.
var settingNames = []string{
	"control", "home", "profiles", "studio", "prefer", "author", "seating", "controller-map", "place", "foot-controller", "foot-channel", "foot-hold", "cable-speed", "log", "json",
	"lookahead", "rubato", "seed", "with-clock", "only", "without",
}

// Read gathers the settings from the file, the environment and the flags. A
// setting for which the command has no flag can stand in the file all the same.
func Read(flags *pflag.FlagSet) (Settings, error) {
	v := viper.New()
	var s Settings
	var known []string
	all := pflag.NewFlagSet("", pflag.ContinueOnError)
	AddFlags(all)
	AddTiming(all)
	AddHabits(all)
	for _, name := range settingNames {
		key := strings.ReplaceAll(name, "-", "_")
		known = append(known, key)
		flag := all.Lookup(name)
		if own := flags.Lookup(name); own != nil && own.Value.Type() == flag.Value.Type() {
			flag = own
		}
		if err := v.BindPFlag(key, flag); err != nil {
			return s, fmt.Errorf("setting %s: %w", key, err)
		}
		if err := v.BindEnv(append([]string{key}, variables(key)...)...); err != nil {
			return s, fmt.Errorf("setting %s: %w", key, err)
		}
	}
	if err := readConfigFile(v, flags, known); err != nil {
		return s, err
	}
	if err := checkKinds(v, all, known); err != nil {
		return s, err
	}
	if err := v.UnmarshalExact(&s); err != nil {
		return s, fmt.Errorf("the settings cannot be read: %s", strings.Join(strings.Fields(err.Error()), " "))
	}
	if s.Home == "" {
		if dir, err := os.UserConfigDir(); err == nil {
			s.Home = filepath.Join(dir, "swellbox")
		}
	}
	if s.Seating == noSeating {
		s.Seating, s.Unseated = "", true
	}
	return s, blame(flags, s.check())
}

// badSetting is what is wrong with a setting.
type badSetting struct{ key, what string }

func (e *badSetting) Error() string { return e.key + " " + e.what }

// blame makes what is wrong with a setting an error of usage, if a flag said it.
func blame(flags *pflag.FlagSet, err *badSetting) error {
	if err == nil {
		return nil
	}
	if flag := flags.Lookup(strings.ReplaceAll(err.key, "_", "-")); flag != nil && flag.Changed {
		return fmt.Errorf("--%s %s: %w", flag.Name, err.what, usage.ErrUsage)
	}
	return err
}

// variables are the names of a setting in the environment.
func variables(key string) []string {
	all := []string{"SWELLBOX_" + strings.ToUpper(key)}
	for old, now := range renamed {
		if now == key {
			all = append(all, "SWELLBOX_"+strings.ToUpper(old))
		}
	}
	return all
}

// renamed are settings and flags that once had another name, which goes on working.
var renamed = map[string]string{"sense": "place", "player-map": "controller-map"}

// ByNewName is a flag's name, whichever of its names is given.
func ByNewName(_ *pflag.FlagSet, name string) pflag.NormalizedName {
	if now, ok := renamed[name]; ok {
		name = now
	}
	return pflag.NormalizedName(name)
}

func (s *Settings) check() *badSetting {
	wrong := func(key, format string, args ...any) *badSetting {
		return &badSetting{key, fmt.Sprintf(format, args...)}
	}
	if s.Prefer != "own" && s.Prefer != "studio" {
		return wrong("prefer", "is %q; it can be own or studio", s.Prefer)
	}
	if _, err := control.ParsePlace(s.Place); err != nil {
		return wrong("place", "is %q; it can be hall or studio", s.Place)
	}
	if s.FootController < 0 || s.FootController > 119 {
		return wrong("foot_controller", "is %d; controllers go from 1 to 119, and 0 is none", s.FootController)
	}
	if s.FootChannel < 0 || s.FootChannel > 16 {
		return wrong("foot_channel", "is %d; channels go from 1 to 16, and 0 is any", s.FootChannel)
	}
	if s.CableSpeed != 0 && (s.CableSpeed < leastCableSpeed || s.CableSpeed > mostCableSpeed) {
		return wrong("cable_speed", "is %d; it can be %d to %d bytes a second, %d is a MIDI cable's, and 0 is none", s.CableSpeed, leastCableSpeed, mostCableSpeed, live.CableSpeed)
	}
	if most := int(engine.MaxLookahead.Milliseconds()); s.Lookahead < 0 || s.Lookahead > most {
		return wrong("lookahead", "is %d; it can be 0 to %d ms", s.Lookahead, most)
	}
	if !(s.Rubato >= 0 && s.Rubato <= mostRubato) {
		return wrong("rubato", "is %g; it can be 0 (none) to %d, and 1 is normal", s.Rubato, mostRubato)
	}
	for key, names := range map[string][]string{"only": s.Only, "without": s.Without} {
		for _, name := range names {
			if known := HabitNames(); !slices.Contains(known, name) {
				return wrong(key, "names the habit %s, which there is not; %s", name, usage.Perhaps(name, known, "the habits are "))
			}
		}
	}
	if _, err := zerolog.ParseLevel(s.Log); err != nil || s.Log == "" {
		return wrong("log", "is %q; it can be debug, info, warn or error", s.Log)
	}
	return nil
}

// ControlPath is the control socket to listen or speak on.
func (s *Settings) ControlPath() (string, error) {
	if s.Control != "" {
		return s.Control, nil
	}
	return control.DefaultPath()
}

// What a cable may carry, bytes a second: at the least a chord of ten notes in a tenth of it, at the most
// far more than any port takes. Ours.
const (
	leastCableSpeed = 300
	mostCableSpeed  = 1_000_000
)

// Foot is the foot switch of live playing.
func (s *Settings) Foot() live.FootSwitch {
	return live.FootSwitch{Controller: s.FootController, Channel: s.FootChannel, Hold: s.FootHold}
}

// noSeating is given in place of a file by those who want none, not even one beside the piece.
const noSeating = "none"
