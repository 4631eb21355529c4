package profile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/profiles"
	"swellbox/profiles/change"
	"swellbox/profiles/store"
)

// side is one of the two profiles that are compared.
type side struct {
	label string
	lib   *profiles.Library
	name  string
}

const builtInPrefix = string(profiles.BuiltIn) + ":"

func diffCommand(p *program.Program) *cobra.Command {
	return &cobra.Command{
		Use:   "diff A [B]",
		Short: "say in the words of music how two profiles differ",
		Long: `diff compares two profiles with all that they are based on. Each is one of
  violins             a profile
  hall/violins.yaml   a file
  built-in:violins    a profile as it is built in
  violins@3           the third version of its history

With one of them it compares it with what it replaces or, if it replaces nothing, with the profile that it extends.`,
		Args: usage.Between(1, 2, "one profile or two"),
		RunE: func(_ *cobra.Command, args []string) error {
			lib, warnings, err := browse(p)
			if err != nil {
				return err
			}
			p.Warn(warnings)
			given, err := sideOf(p, lib, args[0])
			if err != nil {
				return err
			}
			from, to := given, given
			if len(args) == 1 {
				from, err = under(given)
			} else {
				to, err = sideOf(p, lib, args[1])
			}
			if err != nil {
				return err
			}
			return compare(p, from, to)
		},
	}
}

// compare prints how one profile differs from another.
func compare(p *program.Program, from, to *side) error {
	a, err := from.lib.Resolve(from.name)
	if err != nil {
		return err
	}
	b, err := to.lib.Resolve(to.name)
	if err != nil {
		return err
	}
	lines := []change.Line{}
	for _, l := range change.Diff(a, b) {
		if l.About != "name" { // which the labels tell
			lines = append(lines, l)
		}
	}
	if p.Settings.JSON {
		return p.PrintJSON(struct {
			From    string        `json:"from"`
			To      string        `json:"to"`
			Changes []change.Line `json:"changes"`
		}{from.label, to.label, lines})
	}
	if len(lines) == 0 {
		err := p.Sayf("%s and %s play alike", from.label, to.label)
		return err
	}
	p.Sayf("from %s to %s:", from.label, to.label)
	for _, l := range lines {
		if err := p.Sayf("  %s", l); err != nil {
			return err
		}
	}
	return nil
}

// sideOf is what an argument of diff means.
func sideOf(p *program.Program, lib *profiles.Library, arg string) (*side, error) {
	if name, ok := strings.CutPrefix(arg, builtInPrefix); ok {
		builtIn, err := profiles.NewLibrary()
		return &side{arg, builtIn, name}, err
	}
	if strings.ContainsRune(arg, os.PathSeparator) || filepath.Ext(arg) == ".yaml" || filepath.Ext(arg) == ".yml" {
		f, err := profiles.ReadFile(arg)
		if err != nil {
			return nil, err
		}
		return replaced(lib, arg, arg, f)
	}
	if name, digits, ok := strings.Cut(arg, "@"); ok {
		n, err := strconv.Atoi(digits)
		if err != nil {
			return nil, fmt.Errorf("expected the number of a version, as in %s@3, found %q: %w", name, digits, usage.ErrUsage)
		}
		return versionOf(p, lib, name, n)
	}
	if _, err := lib.Chain(arg); err != nil {
		return nil, err
	}
	return &side{arg, lib, arg}, nil
}

// replaced is a profile in the library in which it stands for a file.
func replaced(lib *profiles.Library, label, file string, f profiles.File) (*side, error) {
	if f.Profile == nil {
		return nil, fmt.Errorf("%s is no profile", label)
	}
	for _, d := range lib.Layers(f.Profile.Name) {
		if settings.Same(d.File, file) {
			file = d.File
		}
	}
	with, err := instead(lib, file, f)
	return &side{label, with, f.Profile.Name}, err
}

// versionOf is the n-th version of the history of a profile.
func versionOf(p *program.Program, lib *profiles.Library, name string, n int) (*side, error) {
	if _, err := lib.Chain(name); err != nil {
		return nil, err
	}
	d, _ := lib.Lookup(name)
	if d.Origin.Kind != profiles.Own && d.Origin.Kind != profiles.Studio {
		return nil, fmt.Errorf("the profile %s is %s and has no history", name, d.Origin)
	}
	s, err := store.Open(filepath.Dir(d.File), store.Options{})
	if err != nil {
		return nil, err
	}
	versions, err := s.History(filepath.Base(d.File))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	if n < 1 || n > len(versions) {
		return nil, fmt.Errorf("the history of %s has %s, so there is no version %d", name, tell.Counted(len(versions), "version"), n)
	}
	b, err := s.Content(versions[n-1].Hash)
	if err != nil {
		return nil, err
	}
	label := fmt.Sprintf("%s@%d", name, n)
	f, err := profiles.ParseAny(label, b)
	if err != nil {
		return nil, err
	}
	return replaced(lib, label, d.File, f)
}

// under is what a profile replaces or, if it replaces nothing, what it extends.
func under(s *side) (*side, error) {
	layers := s.lib.Layers(s.name)
	if len(layers) > 1 {
		lib, err := instead(s.lib, layers[0].File, profiles.File{})
		return &side{fmt.Sprintf("%s, %s", s.name, layers[1].Origin), lib, s.name}, err
	}
	chain, err := s.lib.Chain(s.name)
	if err != nil {
		return nil, err
	}
	if len(chain) == 1 {
		return nil, fmt.Errorf("the profile %s is based on no other; name two to compare: %w", s.name, usage.ErrUsage)
	}
	return &side{chain[1].Name, s.lib, chain[1].Name}, nil
}
