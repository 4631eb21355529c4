package pack

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"
)

// installedDir is the folder of the installed packages in home; keptFile is the
// package itself in the folder of its documents, with the signature beside it.
const (
	installedDir = "installed"
	keptFile     = "package" + Ext
	keptSig      = keptFile + SignatureExt
)

// staleAfter is how old a half-written folder must be for the next installation
// to clear it away: what is younger may belong to one that is at work.
const staleAfter = 24 * time.Hour

// Question is what is asked before a key is trusted for the first time.
type Question struct {
	Key     Key
	Author  string
	Name    string
	Version Version
}

// Options say what an installation may do.
type Options struct {
	Trust      Key                          // a key to pin without asking; "" for none
	Ask        func(Question) (bool, error) // nil: there is nobody to ask, and the answer is no
	AllowOlder bool                         // older than the newest that is installed
	Unsigned   bool                         // not signed
}

// Result says what an installation did.
type Result struct {
	Name     string   `json:"name"`
	Version  Version  `json:"version"`
	Author   string   `json:"author"`
	Licence  string   `json:"licence"`
	Notes    string   `json:"notes"`
	Profiles []string `json:"profiles"`
	KeyID    string   `json:"key_id"` // "" for unsigned
	Pinned   bool     `json:"pinned"` // the key is trusted from now on
	Already  bool     `json:"already_installed"`
	Folder   string   `json:"folder"`
}

// Install checks a package, and puts its documents into
// home/installed/NAME/VERSION, all of them or none. sig is its signature file, nil
// for none.
//
// The order is: the signature, with a key that is pinned or, for the first time,
// asked about; then the package and each document; then whether a newer version is
// there. Only then is anything written: the pin, and a folder that gets its name
// when it is whole. If the disk then fails, the key stays trusted, since the user
// said so, and nothing is installed.
//
// A version that is installed already with the same bytes is left as it is, but
// gets its signature if it had none; with other bytes it is an error.
func Install(home string, pkg, sig []byte, o Options) (*Result, error) {
	r, pins, err := openPins(home)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	var p *Package
	var pin Pin
	fresh := false
	if sig == nil {
		p, err = openUnsigned(pkg, pins, o)
	} else {
		p, pin, fresh, err = openTrusted(pkg, sig, pins, o.Trust)
	}
	if err != nil {
		return nil, err
	}
	folder := path.Join(installedDir, p.Name, string(p.Version))
	res := &Result{
		Name: p.Name, Version: p.Version, Author: p.Author, Licence: p.Licence, Notes: p.Notes,
		Profiles: p.profiles(), KeyID: pin.Key.ID(), Pinned: fresh,
		Folder: filepath.Join(home, filepath.FromSlash(folder)),
	}
	if res.Already, err = checkInstalled(r, p, o.AllowOlder); err != nil {
		return nil, err
	}
	if fresh {
		if err := ask(p, pin, pins, o); err != nil {
			return nil, err
		}
	}
	if sig != nil {
		if used := pin.with(p.Author, p.Name); fresh || used.Author != pin.Author || len(used.Packages) != len(pin.Packages) {
			if err := writePin(r, used); err != nil {
				return nil, err
			}
		}
	}
	switch {
	case !res.Already:
		err = place(r, p, sig, folder)
	case sig != nil:
		err = keepSignature(r, sig, folder)
	}
	if err != nil {
		return nil, fmt.Errorf("cannot install %s %s, nothing was installed: %w", p.Name, p.Version, err)
	}
	return res, nil
}

// keepSignature puts a signature that has been verified beside a package that was
// installed without one.
func keepSignature(r *os.Root, sig []byte, folder string) error {
	name := path.Join(folder, keptSig)
	if _, err := r.Lstat(name); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return replace(r, name, sig, 0o666)
}

// openUnsigned opens a package that nobody vouches for.
func openUnsigned(pkg []byte, pins []Pin, o Options) (*Package, error) {
	p, err := Open(pkg)
	if err != nil {
		return nil, err
	}
	var changed *ChangedKeyError
	if _, _, err := judge(pins, "", p.Author, p.Name); errors.As(err, &changed) {
		changed.Found = ""
		return nil, changed
	}
	if !o.Unsigned {
		return nil, fmt.Errorf("the package %s %s is not signed, so nobody can say who made it; get its file %s too, or, if you have it from the author's own hand, add --unsigned", p.Name, p.Version, p.File()+SignatureExt)
	}
	return p, nil
}

// openTrusted opens a signed package, and returns the pin of its key and whether
// it is not pinned yet.
func openTrusted(pkg, sig []byte, pins []Pin, trust Key) (*Package, Pin, bool, error) {
	s, err := ParseSignature(sig)
	if err != nil {
		return nil, Pin{}, false, err
	}
	key, err := s.signer(pins, trust)
	if err != nil {
		return nil, Pin{}, false, err
	}
	if _, _, err := judge(pins, key, "", s.Name); err != nil {
		return nil, Pin{}, false, err
	}
	p, err := OpenSigned(pkg, s, key)
	if err != nil {
		return nil, Pin{}, false, err
	}
	pin, known, err := judge(pins, key, p.Author, p.Name)
	return p, pin, !known, err
}

// signer is the key that a signature is to be verified with: the one that is
// pinned, the one that the user named, or the one that it brings along.
func (s *Signature) signer(pins []Pin, trust Key) (Key, error) {
	if trust != "" {
		if trust.ID() != s.KeyID {
			return "", fmt.Errorf("the package is signed with the key %s, not with %s, the one given", s.KeyID, trust.ID())
		}
		return trust, nil
	}
	for _, p := range pins {
		if p.Key.ID() == s.KeyID {
			return p.Key, nil
		}
	}
	if s.Key == "" {
		return "", fmt.Errorf("the package is signed with the key %s, which you do not trust yet and the signature does not bring along; get the key from the author and add --trust KEY", s.KeyID)
	}
	return s.Key, nil
}

// ask lets the user say whether a key is trusted.
func ask(p *Package, pin Pin, pins []Pin, o Options) error {
	if pin.Key == o.Trust {
		return nil
	}
	if len(pins) >= pinsLimit {
		return fmt.Errorf("more than %d keys would be trusted; remove those of the past", pinsLimit)
	}
	if o.Ask == nil {
		return notTrusted(pin.Key)
	}
	yes, err := o.Ask(Question{Key: pin.Key, Author: p.Author, Name: p.Name, Version: p.Version})
	if err == nil && !yes {
		err = notTrusted(pin.Key)
	}
	return err
}

func notTrusted(k Key) error {
	return fmt.Errorf("the key %s is not trusted, nothing was installed; compare it with the author's and add --trust %s", k.ID(), k)
}

// checkInstalled compares a package with what is installed of its name, and
// reports whether it is there already.
func checkInstalled(r *os.Root, p *Package, allowOlder bool) (bool, error) {
	versions, err := versionsOf(r, p.Name)
	if err != nil {
		return false, err
	}
	for _, v := range versions {
		if v != p.Version {
			continue
		}
		kept, err := read(r, path.Join(installedDir, p.Name, string(v), keptFile), PackageLimit)
		if err != nil {
			return false, fmt.Errorf("the installed %s %s is damaged: %w; remove its folder", p.Name, v, err)
		}
		if !bytes.Equal(kept, p.bytes) {
			return false, fmt.Errorf("another package %s %s is installed already; one version has one content, so ask the author for a new version", p.Name, v)
		}
		return true, nil
	}
	return false, checkOlder(versions, p.Name, p.Version, allowOlder)
}

// checkOlder refuses a version that is older than the newest of those installed.
func checkOlder(versions []Version, name string, v Version, allowed bool) error {
	if n := len(versions); n > 0 && versions[n-1].Compare(v) > 0 && !allowed {
		return fmt.Errorf("%s %s is older than %s, which is installed; if you want it, add --allow-older", name, v, versions[n-1])
	}
	return nil
}

// place writes the documents into a folder that is renamed when all are on the disk.
func place(r *os.Root, p *Package, sig []byte, folder string) error {
	if err := r.MkdirAll(path.Dir(folder), 0o777); err != nil {
		return err
	}
	clearStale(r)
	tmp := path.Join(installedDir, temporaryName())
	defer r.RemoveAll(tmp) // in vain once it has been renamed
	if err := r.Mkdir(tmp, 0o777); err != nil {
		return err
	}
	if err := create(r, path.Join(tmp, keptFile), p.bytes, 0o666); err != nil {
		return err
	}
	if sig != nil {
		if err := create(r, path.Join(tmp, keptSig), sig, 0o666); err != nil {
			return err
		}
	}
	for file, content := range p.documents {
		if err := create(r, path.Join(tmp, file), content, 0o666); err != nil {
			return err
		}
	}
	return r.Rename(tmp, folder)
}

// clearStale removes what an installation left behind that was killed. That it
// cannot is no reason not to install.
func clearStale(r *os.Root) {
	entries, err := fs.ReadDir(r.FS(), installedDir)
	if err != nil {
		return
	}
	for _, e := range entries {
		info, err := e.Info()
		if err == nil && strings.HasPrefix(e.Name(), temporary) && time.Since(info.ModTime()) > staleAfter {
			r.RemoveAll(path.Join(installedDir, e.Name()))
		}
	}
}
