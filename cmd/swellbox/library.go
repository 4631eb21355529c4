package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"swellbox/profiles"
	"swellbox/profiles/pack"
	"swellbox/proxy/perform"
)

// library reads the profiles: built-in, installed, then own and studio, of which
// that wins which prefer names. What cannot be read is left out and joined in the
// error; the library is nil only if it cannot be had at all.
func (s *settings) library() (*profiles.Library, error) {
	if s.keeper == nil {
		s.keeper = &profiles.Keeper{}
	}
	lib, err := profiles.NewLibrary()
	if err != nil {
		return nil, err
	}
	installed, err := pack.InstalledFolders(s.Home)
	errs := []error{err}
	add := func(kind profiles.OriginKind, dirs []string) {
		for _, dir := range dirs {
			errs = append(errs, s.keeper.AddFolder(lib, dir, profiles.Origin{Kind: kind, Label: dir}))
		}
	}
	for _, dir := range installed {
		label := filepath.Base(filepath.Dir(dir)) + " " + filepath.Base(dir)
		errs = append(errs, s.keeper.AddFolder(lib, dir, profiles.Origin{Kind: profiles.Installed, Label: label}))
	}
	if s.Prefer == "studio" {
		add(profiles.Own, s.ownFolders())
		add(profiles.Studio, s.Studio)
	} else {
		add(profiles.Studio, s.Studio)
		add(profiles.Own, s.ownFolders())
	}
	return lib, errors.Join(errs...)
}

// ownFolders are the folders of one's own profiles, the weakest first. That in the
// home is made when something is first written into it.
func (s *settings) ownFolders() []string {
	home := filepath.Join(s.Home, "profiles")
	if info, err := os.Stat(home); s.Home == "" || err != nil || !info.IsDir() {
		return s.Profiles
	}
	further := slices.DeleteFunc(slices.Clone(s.Profiles), func(dir string) bool { return same(dir, home) })
	return append([]string{home}, further...)
}

// renamedIn says which documents of a library have old keys: a warning for each, that names the
// keys and what they are called now.
func renamedIn(lib *profiles.Library) (warnings []string) {
	return renamedOf(lib.Renamed())
}

// renamedInCast says so of all that a cast was read from.
func renamedInCast(c *perform.Cast) []string { return renamedOf(oldWords(c)) }

// oldWords are the old keys in all that a cast was read from.
func oldWords(c *perform.Cast) profiles.Problems {
	all := c.Library.Renamed()
	if c.Seating != nil {
		all = append(all, c.Seating.Renamed...)
	}
	return all
}

func renamedOf(all profiles.Problems) (warnings []string) {
	for len(all) > 0 {
		file := all[0].File
		var told []string
		var rest profiles.Problems
		for _, p := range all {
			if p.File != file {
				rest = append(rest, p)
				continue
			}
			told = append(told, fmt.Sprintf("line %d: %s: %s", p.Line, p.Key, p.Text))
		}
		warnings = append(warnings, fmt.Sprintf("%s has old names of keys, which still work; swellbox profile update %s writes the present ones: %s",
			file, file, strings.Join(told, "; ")))
		all = rest
	}
	return warnings
}
