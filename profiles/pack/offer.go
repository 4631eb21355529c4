package pack

import (
	"encoding/hex"
	"fmt"
	"os"
	"path"
	"slices"
)

// Offer is a package that others may have, as a list of them shows it.
type Offer struct {
	Name    string  `json:"name"`
	Version Version `json:"version"`
	Author  string  `json:"author"`
	Licence string  `json:"licence"`
	Size    int64   `json:"size"`   // bytes
	SHA256  string  `json:"sha256"` // hexadecimal
	KeyID   string  `json:"key_id"`
}

// File is the name of the package's file.
func (o *Offer) File() string { return FileName(o.Name, o.Version) }

// Check refuses an offer that is none, whoever made it.
func (o *Offer) Check() error {
	if err := CheckName(o.Name); err != nil {
		return err
	}
	if _, err := ParseVersion(string(o.Version)); err != nil {
		return err
	}
	if err := checkLine("author", o.Author); err != nil {
		return err
	}
	if err := checkLine("licence", o.Licence); err != nil {
		return err
	}
	if o.Size <= 0 || o.Size > PackageLimit {
		return fmt.Errorf("%s has %d bytes, a package has at most %d", o.File(), o.Size, PackageLimit)
	}
	if sum, err := hex.DecodeString(o.SHA256); err != nil || hex.EncodeToString(sum) != o.SHA256 || len(sum) != 32 {
		return fmt.Errorf("%s has the hash %q, which is no SHA-256", o.File(), shortened(o.SHA256))
	}
	if id, err := hex.DecodeString(o.KeyID); err != nil || len(id) != 8 {
		return fmt.Errorf("%s has the key %q, which is no ID of a key", o.File(), shortened(o.KeyID))
	}
	return nil
}

// Offers are the installed packages that are signed with a key which the user
// trusts, sorted by name and version. Others are left out.
func Offers(home string) (offers []Offer, err error) {
	err = eachPackage(home, func(r *os.Root, pins []Pin, name string, versions []Version) error {
		for _, v := range versions {
			if o, ok := offer(r, name, v, pins); ok {
				offers = append(offers, o)
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return offers, nil
}

func offer(r *os.Root, name string, v Version, pins []Pin) (Offer, bool) {
	pkg, sig, err := kept(r, name, v)
	if err != nil {
		return Offer{}, false
	}
	p, pin, fresh, err := openTrusted(pkg, sig, pins, "")
	if err != nil || fresh || p.Name != name || p.Version != v {
		return Offer{}, false
	}
	return Offer{name, v, p.Author, p.Licence, int64(len(pkg)), p.SHA256(), pin.Key.ID()}, true
}

// Kept is the file of an installed package, and its signature.
func Kept(home, name string, v Version) (pkg, sig []byte, err error) {
	if err := CheckName(name); err != nil {
		return nil, nil, err
	}
	if _, err := ParseVersion(string(v)); err != nil {
		return nil, nil, err
	}
	r, err := openHome(home)
	if err != nil {
		return nil, nil, err
	}
	defer r.Close()
	return kept(r, name, v)
}

func kept(r *os.Root, name string, v Version) (pkg, sig []byte, err error) {
	dir := path.Join(installedDir, name, string(v))
	if pkg, err = read(r, path.Join(dir, keptFile), PackageLimit); err != nil {
		return nil, nil, fmt.Errorf("cannot read the package %s %s: %w", name, v, err)
	}
	if sig, err = read(r, path.Join(dir, keptSig), keyFileLimit); err != nil {
		return nil, nil, fmt.Errorf("cannot read the signature of %s %s: %w", name, v, err)
	}
	return pkg, sig, nil
}

// Foresee says, of a signature alone, why [Install] would refuse the package that
// it is for: so that nobody waits for a package in vain. It returns what the
// signature says, which is not verified.
func Foresee(home string, sig []byte, o Options) (*Signature, error) {
	s, err := ParseSignature(sig)
	if err != nil {
		return nil, err
	}
	pins, err := Pins(home)
	if err != nil {
		return nil, err
	}
	key, err := s.signer(pins, o.Trust)
	if err != nil {
		return nil, err
	}
	if _, _, err := judge(pins, key, "", s.Name); err != nil {
		return nil, err
	}
	known := slices.ContainsFunc(pins, func(p Pin) bool { return p.Key == key })
	if !known && o.Ask == nil && o.Trust == "" {
		return nil, notTrusted(key)
	}
	r, err := openHome(home)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	versions, err := versionsOf(r, s.Name)
	if err != nil || slices.Contains(versions, s.Version) {
		return s, err
	}
	return s, checkOlder(versions, s.Name, s.Version, o.AllowOlder)
}
