package settings

import (
	"errors"
	"fmt"
	"os"
	"os/user"
	"path/filepath"
	"slices"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/profiles/pack"
	"swellbox/profiles/store"
	"swellbox/proxy/control"
	"swellbox/proxy/perform"
)

// Library reads the profiles: built-in, installed, then own and studio, of which
// that wins which prefer names. What cannot be read is left out and joined in the
// error; the library is nil only if it cannot be had at all.
func (s *Settings) Library() (*profiles.Library, error) {
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
		add(profiles.Own, s.OwnFolders())
		add(profiles.Studio, s.Studio)
	} else {
		add(profiles.Studio, s.Studio)
		add(profiles.Own, s.OwnFolders())
	}
	return lib, errors.Join(errs...)
}

// OwnFolders are the folders of one's own profiles, the weakest first. That in the
// home is made when something is first written into it.
func (s *Settings) OwnFolders() []string {
	home := filepath.Join(s.Home, "profiles")
	if info, err := os.Stat(home); s.Home == "" || err != nil || !info.IsDir() {
		return s.Profiles
	}
	further := slices.DeleteFunc(slices.Clone(s.Profiles), func(dir string) bool { return Same(dir, home) })
	return append([]string{home}, further...)
}

// HomeProfiles is the folder of one's own profiles.
func (s *Settings) HomeProfiles() (string, error) {
	if s.Home == "" {
		return "", errors.New("there is no folder of your own for profiles; name one with --home")
	}
	return filepath.Join(s.Home, "profiles"), nil
}

// Writer is whom the history names for a change.
func (s *Settings) Writer() store.Author {
	if s.Author != "" {
		return store.Author(s.Author)
	}
	if u, err := user.Current(); err == nil {
		return store.Author(u.Username)
	}
	return ""
}

// Writable are the folders whose documents have a history, that first whose
// documents win.
func (s *Settings) Writable() (dirs []string, kinds []profiles.OriginKind) {
	add := func(kind profiles.OriginKind, folders []string) {
		for _, dir := range slices.Backward(folders) {
			dirs, kinds = append(dirs, dir), append(kinds, kind)
		}
	}
	if s.Prefer == "studio" {
		add(profiles.Studio, s.Studio)
		add(profiles.Own, s.OwnFolders())
	} else {
		add(profiles.Own, s.OwnFolders())
		add(profiles.Studio, s.Studio)
	}
	return dirs, kinds
}

// Cast reads the profiles and the seating for what is to be done once and right: a
// broken profile of the user's is an error.
func (s *Settings) Cast() (*perform.Cast, error) {
	c, err := s.PlayableCast()
	if err != nil {
		return nil, err
	}
	return c, nil
}

// PlayableCast reads the profiles and the seating for what plays on meanwhile. A cast
// with an error is one from which something had to be left out, or in which an earlier
// version stands for it; no cast is one that has no sound seating.
func (s *Settings) PlayableCast() (*perform.Cast, error) {
	lib, err := s.Library()
	c := &perform.Cast{Library: lib, Place: s.StartPlace(), ControllerMap: s.ControllerMap}
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

// StartPlace is how the parts stand at the start; check has seen to it that it is one.
func (s *Settings) StartPlace() expr.Place {
	place, _ := control.ParsePlace(s.Place)
	return place
}

// Watched are the folders whose documents a cast is read from.
func (s *Settings) Watched() []string {
	folders := append(s.OwnFolders(), s.Studio...)
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

// Same reports whether two names are of one file.
func Same(a, b string) bool {
	x, errA := os.Stat(a)
	y, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(x, y)
}
