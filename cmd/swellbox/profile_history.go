package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/profiles"
	"swellbox/profiles/store"
	"swellbox/proxy/layout"
)

func (p *program) profileHistoryCommands() []*cobra.Command {
	return []*cobra.Command{p.profileHistoryCommand(), p.profileBackCommand(), p.profileLockCommand()}
}

// storeFor keeps the history of a folder of one's own or of a studio. Only the
// folder in the home is made if need be: another that is not there may be a drive
// that is not connected.
func (p *program) storeFor(dir string) (*store.Store, error) {
	home, err := p.settings.homeProfiles()
	return store.Open(dir, store.Options{Merge: mergeByKey, MakeFolder: err == nil && filepath.Clean(dir) == home})
}

// past is a document with its history.
type past struct {
	store    *store.Store
	Document string              `json:"document"`
	Folder   string              `json:"folder"`
	Origin   profiles.OriginKind `json:"origin"`
	Versions []store.Version     `json:"versions"`
}

// writable are the folders whose documents have a history, that first whose
// documents win.
func (s *settings) writable() (dirs []string, kinds []profiles.OriginKind) {
	add := func(kind profiles.OriginKind, folders []string) {
		for _, dir := range slices.Backward(folders) {
			dirs, kinds = append(dirs, dir), append(kinds, kind)
		}
	}
	if s.Prefer == "studio" {
		add(profiles.Studio, s.Studio)
		add(profiles.Own, s.ownFolders())
	} else {
		add(profiles.Own, s.ownFolders())
		add(profiles.Studio, s.Studio)
	}
	return dirs, kinds
}

// past finds the document of a profile, a controller map or a file of that name, even if
// it is broken or has been removed. folder chooses one of several; empty for that
// which wins.
func (p *program) past(name, folder string) (*past, error) {
	lib, _, err := p.browse()
	if err != nil {
		return nil, err
	}
	dirs, kinds := p.settings.writable()
	var errs []error
	for i, dir := range dirs {
		if folder != "" && !same(folder, dir) {
			continue
		}
		s, err := p.storeFor(dir)
		if err != nil {
			return nil, err
		}
		for _, file := range filesFor(lib, dir, name) {
			versions, err := s.History(file)
			if err != nil {
				errs = append(errs, err)
				continue
			}
			if _, err := os.Lstat(filepath.Join(dir, file)); err == nil || len(versions) > 0 {
				return &past{s, file, dir, kinds[i], append([]store.Version{}, versions...)}, nil
			}
		}
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	return nil, p.noPast(lib, name, folder)
}

// noPast says why there is no history of that name.
func (p *program) noPast(lib *profiles.Library, name, folder string) error {
	if dirs, _ := p.settings.writable(); folder != "" && !slices.ContainsFunc(dirs, func(dir string) bool { return same(dir, folder) }) {
		return fmt.Errorf("%s is none of the folders of profiles; name it with --profiles or --studio", folder)
	}
	d, ok := lib.Lookup(name)
	if !ok {
		_, err := lib.Chain(name) // says that there is none, and which is the nearest
		return err
	}
	if folder != "" {
		return fmt.Errorf("%s is not in %s; it is %s", name, folder, d.Origin)
	}
	return fmt.Errorf("%s is %s and has no history here; what you change of it has one", name, d.Origin)
}

// filesFor are the files in a folder that may be meant by a name.
func filesFor(lib *profiles.Library, dir, name string) []string {
	var files []string
	add := func(s *profiles.Source) {
		if filepath.Dir(s.File) == filepath.Clean(dir) {
			files = append(files, filepath.Base(s.File))
		}
	}
	for _, d := range lib.Layers(name) {
		add(&d.Source)
	}
	for _, m := range lib.ControllerMapLayers(name) {
		add(&m.Source)
	}
	if ext := filepath.Ext(name); ext == ".yaml" || ext == ".yml" {
		return append(files, name)
	}
	return append(files, name+".yaml", name+".yml")
}

func (p *program) profileHistoryCommand() *cobra.Command {
	var folder string
	var show int
	var check bool
	c := &cobra.Command{
		Use:   "history NAME",
		Short: "tell who changed a profile, when, and to what",
		Long:  `history lists the versions of a profile of yours or of the studio, the oldest first. Each saving through swellbox is one, and each change that an editor made while swellbox was running or before it saved. Nothing is ever removed from a history: it lies in the folder .history beside the profiles.`,
		Args:  exactly(1, "the name of a profile"),
		RunE: func(c *cobra.Command, args []string) error {
			h, err := p.past(args[0], folder)
			if err != nil {
				return err
			}
			if c.Flags().Changed("show") {
				_, content, err := h.version(show)
				if err == nil {
					_, err = p.out.Write(content)
				}
				return err
			}
			if check {
				if err := h.store.Check(); err != nil {
					return err
				}
			}
			if p.settings.JSON {
				return p.printJSON(h)
			}
			return p.printPast(h)
		},
	}
	c.Flags().StringVar(&folder, "in", "", "`folder` of profiles, where several have one of that name")
	c.Flags().IntVar(&show, "show", 0, "write out version `N`")
	c.Flags().BoolVar(&check, "check", false, "see that nothing in the history of the folder is damaged")
	return c
}

// version is one version of a history with its content.
func (h *past) version(n int) (store.Version, []byte, error) {
	if n < 1 || n > len(h.Versions) {
		return store.Version{}, nil, fmt.Errorf("%s has no version %d; it has %d", h.Document, n, len(h.Versions))
	}
	v := h.Versions[n-1]
	content, err := h.store.Content(v.Hash)
	return v, content, err
}

func (p *program) printPast(h *past) error {
	fmt.Fprintf(p.out, "%s, %s, in %s\n", h.Document, h.Origin, h.Folder)
	t := layout.Table{Columns: []layout.Column{{Right: true}, {}, {Words: true}, {Words: true}, {}}}
	current := false
	for _, v := range h.Versions {
		mark := ""
		switch {
		case v.Current:
			mark, current = "plays now", true
		case v.Aside:
			mark = "kept beside it"
		}
		t.Row(fmt.Sprint(v.N), when(v), orNobody(v.Author), v.Note, mark)
	}
	if err := t.Write(p.out, p.width()); err != nil {
		return err
	}
	if _, err := os.Lstat(filepath.Join(h.Folder, h.Document)); err != nil {
		fmt.Fprintln(p.out, "the document has been removed; profile back brings a version back")
	} else if !current {
		fmt.Fprintln(p.out, "what the document holds now is not in the history yet; the next change takes it in")
	}
	return nil
}

// when is the time of a version by the clock on the wall.
func when(v store.Version) string { return v.Time.Local().Format("2006-01-02 15:04:05") }

func (p *program) profileBackCommand() *cobra.Command {
	var folder string
	c := &cobra.Command{
		Use:   "back NAME N",
		Short: "make an earlier version of a profile the newest one",
		Long: `back puts version N of profile history in the place of the profile. That is a new
version itself: what was there before can be brought back in the same way.`,
		Args: exactly(2, "NAME N"),
		RunE: func(_ *cobra.Command, args []string) error {
			n, err := strconv.Atoi(args[1])
			if err != nil {
				return fmt.Errorf("%q is no number of a version: %w", args[1], errUsage)
			}
			return p.back(args[0], folder, n)
		},
	}
	c.Flags().StringVar(&folder, "in", "", "`folder` of profiles, where several have one of that name")
	return c
}

func (p *program) back(name, folder string, n int) error {
	h, err := p.past(name, folder)
	if err != nil {
		return err
	}
	v, content, err := h.version(n)
	if err != nil {
		return err
	}
	if _, err := profiles.ParseAny(fmt.Sprintf("%s, version %d", h.Document, n), content); err != nil {
		return fmt.Errorf("version %d of %s is broken itself, and nothing is changed; profile history --show %d writes it out: %w", n, name, n, err)
	}
	saved, err := h.store.Back(h.Document, n, p.settings.writer())
	if err != nil {
		return err
	}
	if p.settings.JSON {
		return p.printJSON(struct {
			Document  string        `json:"document"`
			Folder    string        `json:"folder"`
			Back      store.Version `json:"back"`
			Hash      store.Hash    `json:"hash"`
			Unchanged bool          `json:"unchanged"`
		}{h.Document, h.Folder, v, saved.Hash, saved.Unchanged})
	}
	if saved.Unchanged {
		_, err = fmt.Fprintf(p.out, "%s is as in version %d already\n", h.Document, n)
		return err
	}
	_, err = fmt.Fprintf(p.out, "%s in %s is again as %s left it on %s\n", h.Document, h.Folder, orNobody(v.Author), strings.Replace(when(v), " ", " at ", 1))
	return err
}
