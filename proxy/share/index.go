package share

import (
	"bytes"
	"encoding/json"
	"fmt"

	"swellbox/profiles/pack"
)

// DefaultPort is where a server listens, and is looked for, when no port is
// named. It is our choice; any that is free would do.
const DefaultPort = "7717"

// Paths of a server; a file's name follows the second.
const (
	indexPath    = "/v1/packages"
	packagesPath = "/v1/packages/"
)

// Limits of an index.
const (
	indexLimit  = 1 << 20 // bytes
	offersLimit = 2000
)

// form is the one form of indexes there is.
const form = 1

// Index is the list of packages that a server gives away.
type Index struct {
	Form     int          `json:"swellbox_share"` // 1
	Packages []pack.Offer `json:"packages"`
}

// parseIndex reads an index that may say anything.
func parseIndex(b []byte) (*Index, error) {
	var x Index
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	if err := d.Decode(&x); err != nil {
		return nil, fmt.Errorf("its list of packages cannot be read: %w", err)
	}
	if x.Form != form {
		return nil, fmt.Errorf("its list of packages is of form %d, this program reads form %d", x.Form, form)
	}
	if len(x.Packages) > offersLimit {
		return nil, fmt.Errorf("it lists %d packages, at most %d are read", len(x.Packages), offersLimit)
	}
	for i := range x.Packages {
		if err := x.Packages[i].Check(); err != nil {
			return nil, fmt.Errorf("its list of packages is wrong: %w", err)
		}
	}
	return &x, nil
}
