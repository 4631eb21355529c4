package share

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net"
	"slices"
	"strings"

	"swellbox/profiles/pack"
)

// signatureLimit is the longest signature, in bytes.
const signatureLimit = 4 << 10

// Request says what to take from where.
type Request struct {
	Home     string
	Host     string       // HOST or HOST:PORT
	Name     string       // of the package
	Version  pack.Version // "" for the newest there
	Options  pack.Options
	Progress func(done, total int64) // bytes; may be nil
}

// Result says what a pull did.
type Result struct {
	*pack.Result
	Transferred int64 `json:"transferred"` // bytes of the package that came over the network this time
}

// List is what a server gives away, by name and from the oldest to the newest.
func List(ctx context.Context, host string) ([]pack.Offer, error) {
	return newClient(host, (&net.Dialer{}).DialContext, clientPatience).list(ctx)
}

func (c *client) list(ctx context.Context) ([]pack.Offer, error) {
	b, err := c.get(ctx, indexPath, indexLimit)
	if err != nil {
		return nil, c.failed(err)
	}
	x, err := parseIndex(b)
	if err != nil {
		return nil, c.failed(err)
	}
	slices.SortFunc(x.Packages, func(a, b pack.Offer) int {
		return cmp.Or(strings.Compare(a.Name, b.Name), a.Version.Compare(b.Version))
	})
	return x.Packages, nil
}

// Pull takes a package from a server and installs it as [pack.Install] does a
// file. The signature comes first, so that a package that would be refused is not
// waited for. A transfer that breaks off is kept in home/partial, and the next
// Pull of the same bytes, from whichever server, asks for the rest only.
func Pull(ctx context.Context, r Request) (*Result, error) {
	return newClient(r.Host, (&net.Dialer{}).DialContext, clientPatience).pull(ctx, r)
}

func (c *client) pull(ctx context.Context, r Request) (*Result, error) {
	offers, err := c.list(ctx)
	if err != nil {
		return nil, err
	}
	o, err := choose(offers, r.Name, r.Version)
	if err != nil {
		return nil, c.failed(err)
	}
	sig, err := c.get(ctx, packagesPath+o.File()+pack.SignatureExt, signatureLimit)
	if err != nil {
		return nil, c.failed(err)
	}
	s, err := pack.Foresee(r.Home, sig, r.Options)
	if err != nil {
		return nil, c.failed(err)
	}
	if s.Name != o.Name || s.Version != o.Version {
		return nil, c.failed(fmt.Errorf("its signature of %s %s is for %s %s; nothing was installed", o.Name, o.Version, s.Name, s.Version))
	}
	pkg, transferred, err := c.fetch(ctx, o, r)
	if err != nil {
		return nil, c.failed(err)
	}
	res, err := pack.Install(r.Home, pkg, sig, r.Options)
	if err != nil {
		return nil, c.failed(err)
	}
	return &Result{res, transferred}, nil
}

// fetch is the package, from the network if it is not installed already, and how
// many of its bytes came from there.
func (c *client) fetch(ctx context.Context, o pack.Offer, r Request) ([]byte, int64, error) {
	if pkg, _, err := pack.Kept(r.Home, o.Name, o.Version); err == nil && hash(pkg) == o.SHA256 {
		return pkg, 0, nil
	}
	p, err := openPartial(r.Home, o)
	if err != nil {
		return nil, 0, err
	}
	defer p.close()
	pkg, transferred, err := c.download(ctx, p, o, r.Progress)
	if err == nil {
		err = p.discard() // the package is whole: whatever becomes of it now, it need not be kept
	}
	return pkg, transferred, err
}

// choose finds a package in a sorted list.
func choose(offers []pack.Offer, name string, v pack.Version) (pack.Offer, error) {
	var names []string
	for _, o := range slices.Backward(offers) {
		if o.Name == name && (v == "" || o.Version == v) {
			return o, nil
		}
		if !slices.Contains(names, o.Name) {
			names = append(names, o.Name)
		}
	}
	switch {
	case len(names) == 0:
		return pack.Offer{}, errors.New("it has no packages to give away: only those that are installed there and signed are")
	case slices.Contains(names, name):
		return pack.Offer{}, fmt.Errorf("it has the package %s, but not its version %s", name, v)
	}
	const shown = 10
	slices.Reverse(names)
	return pack.Offer{}, fmt.Errorf("it has no package %q; it has %s", name, strings.Join(names[:min(len(names), shown)], ", "))
}
