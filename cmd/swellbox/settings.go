package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/rs/zerolog"
	"github.com/spf13/pflag"
	"github.com/spf13/viper"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/profiles"
	"swellbox/profiles/pack"
	"swellbox/proxy/control"
	"swellbox/proxy/live"
	"swellbox/proxy/perform"
)

// settings is the program's configuration: what every command shares. A flag beats
// the environment (SWELLBOX_CONTROL and so on), which beats the file.
type settings struct {
	Control        string   `mapstructure:"control"`
	Home           string   `mapstructure:"home"`
	Profiles       []string `mapstructure:"profiles"`
	Studio         []string `mapstructure:"studio"`
	Prefer         string   `mapstructure:"prefer"`
	Author         string   `mapstructure:"author"`
	Seating        string   `mapstructure:"seating"`
	ControllerMap  string   `mapstructure:"controller_map"`
	Place          string   `mapstructure:"place"`
	FootController int      `mapstructure:"foot_controller"`
	FootChannel    int      `mapstructure:"foot_channel"`
	FootHold       bool     `mapstructure:"foot_hold"`
	Log            string   `mapstructure:"log"`
	JSON           bool     `mapstructure:"json"`

	// Of the commands that perform; see mannerFlags.
	Lookahead int      `mapstructure:"lookahead"` // ms
	Rubato    float64  `mapstructure:"rubato"`
	Seed      uint64   `mapstructure:"seed"`
	WithClock bool     `mapstructure:"with_clock"`
	Only      []string `mapstructure:"only"`
	Without   []string `mapstructure:"without"`

	unseated bool             // by the user's word, so that no seating is looked for
	keeper   *profiles.Keeper // of the documents that were last good
}

// addSettings declares the flags of the settings.
func addSettings(f *pflag.FlagSet) {
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
	f.String("log", "info", "least `level` of what to log: debug, info, warn or error")
	f.Bool("json", false, "print JSON for scripts")
}

// settingNames are the flags that are settings as well.
var settingNames = []string{
	"control", "home", "profiles", "studio", "prefer", "author", "seating", "controller-map", "place", "foot-controller", "foot-channel", "foot-hold", "log", "json",
	"lookahead", "rubato", "seed", "with-clock", "only", "without",
}

// readSettings gathers the settings from the file, the environment and the flags. A
// setting for which the command has no flag can stand in the file all the same.
func readSettings(flags *pflag.FlagSet) (settings, error) {
	v := viper.New()
	var s settings
	var known []string
	all := pflag.NewFlagSet("", pflag.ContinueOnError)
	addSettings(all)
	addTiming(all)
	addHabits(all)
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
		s.Seating, s.unseated = "", true
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
		return fmt.Errorf("--%s %s: %w", flag.Name, err.what, errUsage)
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

// byNewName is a flag's name, whichever of its names is given.
func byNewName(_ *pflag.FlagSet, name string) pflag.NormalizedName {
	if now, ok := renamed[name]; ok {
		name = now
	}
	return pflag.NormalizedName(name)
}

func (s *settings) check() *badSetting {
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
	if most := int(engine.MaxLookahead.Milliseconds()); s.Lookahead < 0 || s.Lookahead > most {
		return wrong("lookahead", "is %d; it can be 0 to %d ms", s.Lookahead, most)
	}
	if !(s.Rubato >= 0 && s.Rubato <= mostRubato) {
		return wrong("rubato", "is %g; it can be 0 (none) to %d, and 1 is normal", s.Rubato, mostRubato)
	}
	for key, names := range map[string][]string{"only": s.Only, "without": s.Without} {
		for _, name := range names {
			if known := habitNames(); !slices.Contains(known, name) {
				return wrong(key, "names the habit %s, which there is not; %s", name, perhaps(name, known, "the habits are "))
			}
		}
	}
	if _, err := zerolog.ParseLevel(s.Log); err != nil || s.Log == "" {
		return wrong("log", "is %q; it can be debug, info, warn or error", s.Log)
	}
	return nil
}

// controlPath is the control socket to listen or speak on.
func (s *settings) controlPath() (string, error) {
	if s.Control != "" {
		return s.Control, nil
	}
	return control.DefaultPath()
}

func (s *settings) foot() live.FootSwitch {
	return live.FootSwitch{Controller: s.FootController, Channel: s.FootChannel, Hold: s.FootHold}
}

// cast reads the profiles and the seating for what is to be done once and right: a
// broken profile of the user's is an error.
func (s *settings) cast() (*perform.Cast, error) {
	c, err := s.playableCast()
	if err != nil {
		return nil, err
	}
	return c, nil
}

// playableCast reads the profiles and the seating for what plays on meanwhile. A cast
// with an error is one from which something had to be left out, or in which an earlier
// version stands for it; no cast is one that has no sound seating.
func (s *settings) playableCast() (*perform.Cast, error) {
	lib, err := s.library()
	c := &perform.Cast{Library: lib, Place: s.place(), ControllerMap: s.ControllerMap}
	if lib != nil {
		if errMap := lib.HasControllerMap(s.ControllerMap); errMap != nil {
			return nil, errors.Join(err, fmt.Errorf("--controller-map: %w", errMap))
		}
	}
	if lib == nil || s.Seating == "" {
		return c, err
	}
	seating, errSeating := profiles.ReadSeating(s.Seating)
	if errSeating == nil {
		errSeating = seating.Check(lib)
	}
	if errSeating != nil {
		return nil, errors.Join(err, errSeating)
	}
	c.Seating = seating
	return c, err
}

// place is how the parts stand at the start; check has seen to it that it is one.
func (s *settings) place() expr.Place {
	place, _ := control.ParsePlace(s.Place)
	return place
}

// watched are the folders whose documents a cast is read from.
func (s *settings) watched() []string {
	folders := append(s.ownFolders(), s.Studio...)
	if s.Home != "" {
		folders = append(folders, filepath.Join(s.Home, "profiles"))
	}
	installed, _ := pack.InstalledFolders(s.Home) // what is wrong with it the next reading says
	for _, dir := range installed {
		folders = append(folders, dir, filepath.Dir(dir))
	}
	if s.Seating != "" {
		folders = append(folders, filepath.Dir(s.Seating))
	}
	slices.Sort(folders)
	return slices.Compact(folders)
}

// logger writes to the terminal's error side, readable for people.
func (p *program) logger() zerolog.Logger {
	level, err := zerolog.ParseLevel(p.settings.Log)
	if err != nil {
		level = zerolog.InfoLevel
	}
	if p.json {
		return zerolog.New(p.err).Level(level).With().Timestamp().Logger()
	}
	out := zerolog.ConsoleWriter{Out: p.err, NoColor: true, TimeFormat: "15:04:05"}
	return zerolog.New(out).Level(level).With().Timestamp().Logger()
}
