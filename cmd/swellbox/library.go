package main

import (
	"errors"
	"os"
	"path/filepath"
	"slices"

	"swellbox/profiles"
	"swellbox/profiles/pack"
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

// renamedIn says which old keys the documents of a library have, and what they are called now.
func renamedIn(lib *profiles.Library) []string {
	var warnings []string
	for _, p := range lib.Renamed() {
		warnings = append(warnings, p.Error())
	}
	return warnings
}
