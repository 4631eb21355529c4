package profile

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/profiles"
	"swellbox/profiles/atomicfile"
	"swellbox/profiles/change"
)

func updateCommand(p *program.Program) *cobra.Command {
	return &cobra.Command{
		Use:   "update FILE…",
		Short: "give the old keys of documents their present names, keeping a copy",
		Long: `update writes profiles, seatings and controller maps anew with the present names of their keys. Values, comments and layout stay as they are, and the document plays as it did. The file as it was is kept beside it, with .old behind its name.

Documents with old names work without it; each time they are read, a warning says so.`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return fmt.Errorf("say which documents: swellbox profile update FILE…: %w", usage.ErrUsage)
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			all := []*Updated{}
			var errs []error
			for _, file := range args {
				u, err := updateFile(file)
				if err != nil {
					errs = append(errs, err)
					continue
				}
				all = append(all, u)
			}
			err := errors.Join(errs...)
			if p.Settings.JSON {
				return errors.Join(err, p.PrintJSON(all))
			}
			for _, u := range all {
				tellUpdated(p, u)
			}
			return err
		},
	}
}

// Updated is a document whose keys have their present names.
type Updated struct {
	File    string   `json:"file"`
	Old     string   `json:"old,omitempty"` // the copy of the file as it was; none if it had no old names
	Renamed []rename `json:"renamed"`
}

type rename struct {
	Line int    `json:"line"`
	Was  string `json:"was"`
	Now  string `json:"now"`
}

// updateFile writes a document anew. One that has no old names is not touched.
func updateFile(file string) (*Updated, error) {
	f, err := profiles.ReadFile(file) // says what is wrong with it, or that it is no document
	if err != nil {
		return nil, err
	}
	u := &Updated{File: file, Renamed: []rename{}}
	if len(f.Renamed()) == 0 {
		return u, nil
	}
	b, err := os.ReadFile(file)
	if err != nil {
		return nil, fmt.Errorf("cannot read the document: %w", err)
	}
	content, renames, err := change.Update(b)
	if err != nil {
		return nil, fmt.Errorf("%s stays as it is: %w", file, err)
	}
	if _, err := profiles.ParseAny(file, content); err != nil {
		return nil, fmt.Errorf("%s stays as it is: %w", file, err)
	}
	if u.Old, err = keep(file, b); err != nil {
		return nil, err
	}
	if err := atomicfile.WriteBytes(file, content); err != nil {
		return nil, err
	}
	for _, r := range renames {
		u.Renamed = append(u.Renamed, rename{r.At.Line, r.Was, r.Now})
	}
	return u, nil
}

// copiesLimit is how many copies of a file are kept side by side.
const copiesLimit = 100

// keep writes what a file held into a new file beside it, whose name it gives. A copy that
// holds the same is there already.
func keep(file string, b []byte) (string, error) {
	for i := 1; i <= copiesLimit; i++ {
		name := file + ".old"
		if i > 1 {
			name = fmt.Sprintf("%s.old%d", file, i)
		}
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if errors.Is(err, fs.ErrExist) {
			if there, err := os.ReadFile(name); err == nil && bytes.Equal(there, b) {
				return name, nil
			}
			continue
		}
		if err == nil {
			_, err = f.Write(b)
			err = errors.Join(err, f.Sync(), f.Close())
		}
		if err != nil {
			return "", fmt.Errorf("%s stays as it is, as no copy of it can be kept: %w", file, err)
		}
		return name, nil
	}
	return "", fmt.Errorf("%s stays as it is: there are %d copies beside it already; take some away", file, copiesLimit)
}

func tellUpdated(p *program.Program, u *Updated) {
	if len(u.Renamed) == 0 {
		p.Sayf("%s has no old names and stays as it is", u.File)
		return
	}
	p.Sayf("%s: %s changed, the file as it was is kept as %s", u.File, tell.Counted(len(u.Renamed), "name"), u.Old)
	for _, r := range u.Renamed {
		p.Sayf("  line %d: %s is now %s", r.Line, r.Was, r.Now)
	}
}
