package pack

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// chosenFile is the file, in the folder of a package, that holds the version
// which the user chose.
const chosenFile = "current"

// Installed is one installed version of a package.
type Installed struct {
	Name    string   `json:"name"`
	Version Version  `json:"version"`
	Author  string   `json:"author"`
	Licence string   `json:"licence"`
	Current bool     `json:"current"` // the version that plays
	Chosen  bool     `json:"chosen"`  // it does so because the user chose it
	KeyID   string   `json:"key_id"`  // "" if it is not signed with a key that is trusted
	Changed []string `json:"changed"` // documents that are not as they were installed
	Folder  string   `json:"folder"`  // of the documents
	Problem string   `json:"problem"` // why it cannot be read; then only name, version and folder count
}

// InstalledFolders are the folders of documents to read: for each package its
// current version, in the order of the packages' names. That is the newest, or
// the one that [Choose] set. What cannot be read is joined in the error, beside
// the folders that can.
func InstalledFolders(home string) ([]string, error) {
	if !exists(home) {
		return nil, nil
	}
	r, err := openHome(home)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	names, err := packages(r)
	errs := []error{err}
	var folders []string
	for _, name := range names {
		v, _, err := current(r, name)
		errs = append(errs, err)
		if v != "" {
			folders = append(folders, filepath.Join(home, installedDir, name, string(v)))
		}
	}
	return folders, errors.Join(errs...)
}

// List is all that is installed, by name and from the oldest to the newest.
func List(home string) (all []Installed, err error) {
	err = eachPackage(home, func(r *os.Root, pins []Pin, name string, versions []Version) error {
		now, chosen, err := current(r, name)
		if err != nil {
			return err
		}
		for _, v := range versions {
			i := inspect(r, name, v, pins)
			i.Folder = filepath.Join(home, installedDir, name, string(v))
			i.Current, i.Chosen = v == now, v == now && chosen
			all = append(all, i)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return all, nil
}

// eachPackage calls do with every installed package, by name, and its versions from
// the oldest to the newest, up to the first error.
func eachPackage(home string, do func(r *os.Root, pins []Pin, name string, versions []Version) error) error {
	if !exists(home) {
		return nil
	}
	r, pins, err := openPins(home)
	if err != nil {
		return err
	}
	defer r.Close()
	names, err := packages(r)
	if err != nil {
		return err
	}
	for _, name := range names {
		versions, err := versionsOf(r, name)
		if err != nil {
			return err
		}
		if err := do(r, pins, name, versions); err != nil {
			return err
		}
	}
	return nil
}

// inspect reads an installed package and compares its documents with it.
func inspect(r *os.Root, name string, v Version, pins []Pin) Installed {
	i := Installed{Name: name, Version: v, Changed: []string{}}
	dir := path.Join(installedDir, name, string(v))
	pkg, err := read(r, path.Join(dir, keptFile), PackageLimit)
	if err != nil {
		i.Problem = err.Error()
		return i
	}
	p, err := Open(pkg)
	if err == nil && (p.Name != name || p.Version != v) {
		err = fmt.Errorf("the folder holds the package %s %s", p.Name, p.Version)
	}
	if err != nil {
		i.Problem = err.Error()
		return i
	}
	i.Author, i.Licence = p.Author, p.Licence
	if sig, err := read(r, path.Join(dir, keptSig), keyFileLimit); err == nil {
		if _, pin, fresh, err := openTrusted(pkg, sig, pins, ""); err == nil && !fresh {
			i.KeyID = pin.Key.ID()
		}
	}
	for _, m := range p.Documents {
		if b, err := read(r, path.Join(dir, m.File), m.Size); err != nil || !bytes.Equal(b, p.documents[m.File]) {
			i.Changed = append(i.Changed, m.File)
		}
	}
	return i
}

// Choose makes an installed version the current one, until another is chosen. ""
// stands for the newest, whichever that is.
func Choose(home, name string, v Version) error {
	if err := CheckName(name); err != nil {
		return err
	}
	r, err := openHome(home)
	if err != nil {
		return err
	}
	defer r.Close()
	versions, err := versionsOf(r, name)
	if err != nil {
		return err
	}
	if len(versions) == 0 {
		return fmt.Errorf("no package %s is installed", name)
	}
	file := path.Join(installedDir, name, chosenFile)
	if v == "" {
		err = r.Remove(file)
		if errors.Is(err, fs.ErrNotExist) {
			err = nil
		}
	} else if !slices.Contains(versions, v) {
		return fmt.Errorf("%s %s is not installed, these versions are: %s", name, v, joined(versions))
	} else {
		err = replace(r, file, []byte(string(v)+"\n"), 0o666)
	}
	if err != nil {
		return fmt.Errorf("cannot choose the version of %s: %w", name, err)
	}
	return nil
}

// packages are the names of the packages of which there may be versions.
func packages(r *os.Root) ([]string, error) {
	entries, err := list(r, installedDir)
	if err != nil {
		return nil, fmt.Errorf("cannot read what is installed: %w", err)
	}
	var names []string
	for _, e := range entries {
		if e.IsDir() && CheckName(e.Name()) == nil {
			names = append(names, e.Name())
		}
	}
	return names, nil
}

// versionsOf are the installed versions of a package, the newest last.
func versionsOf(r *os.Root, name string) ([]Version, error) {
	entries, err := list(r, path.Join(installedDir, name))
	if err != nil {
		return nil, fmt.Errorf("cannot read what is installed: %w", err)
	}
	var versions []Version
	for _, e := range entries {
		if v, err := ParseVersion(e.Name()); err == nil && e.IsDir() {
			versions = append(versions, v)
		}
	}
	slices.SortFunc(versions, Version.Compare)
	return versions, nil
}

// current is the version of a package that plays, "" if there is none, and
// whether the user chose it.
func current(r *os.Root, name string) (v Version, chosen bool, err error) {
	versions, err := versionsOf(r, name)
	if err != nil || len(versions) == 0 {
		return "", false, err
	}
	newest := versions[len(versions)-1]
	b, err := read(r, path.Join(installedDir, name, chosenFile), versionLimit+1)
	if errors.Is(err, fs.ErrNotExist) {
		return newest, false, nil
	}
	if err != nil {
		return newest, false, fmt.Errorf("cannot read which version of %s is chosen, the newest plays: %w", name, err)
	}
	v = Version(strings.TrimSpace(string(b)))
	if !slices.Contains(versions, v) {
		return newest, false, fmt.Errorf("the chosen version %q of %s is not installed, the newest plays; these are: %s", shortened(string(v)), name, joined(versions))
	}
	return v, true, nil
}

func joined(versions []Version) string {
	words := make([]string, len(versions))
	for i, v := range versions {
		words[i] = string(v)
	}
	return strings.Join(words, ", ")
}

// profiles are the names of the profiles in the package, and of the controller maps
// with ".map" behind them.
func (p *Package) profiles() []string {
	names := make([]string, len(p.Documents))
	for i, m := range p.Documents {
		names[i] = strings.TrimSuffix(m.File, documentExt)
	}
	return names
}
