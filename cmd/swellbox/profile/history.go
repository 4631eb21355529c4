package profile

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/usage"
	"swellbox/profiles"
	"swellbox/profiles/store"
	"swellbox/proxy/layout"
)

func historyCommands(p *program.Program) []*cobra.Command {
	return []*cobra.Command{historyCommand(p), backCommand(p), lockCommand(p)}
}

// storeFor keeps the history of a folder of one's own or of a studio. Only the
// folder in the home is made if need be: another that is not there may be a drive
// that is not connected.
func storeFor(of *settings.Settings, dir string) (*store.Store, error) {
	home, err := of.HomeProfiles()
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

// pastOf finds the document of a profile, a controller map or a file of that name, even if
// it is broken or has been removed. folder chooses one of several; empty for that
// which wins.
func pastOf(p *program.Program, name, folder string) (*past, error) {
	lib, _, err := browse(p)
	if err != nil {
		return nil, err
	}
	dirs, kinds := p.Settings.Writable()
	var errs []error
	for i, dir := range dirs {
		if folder != "" && !settings.Same(folder, dir) {
			continue
		}
		s, err := storeFor(&p.Settings, dir)
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
	return nil, noPast(p, lib, name, folder)
}

// noPast says why there is no history of that name.
func noPast(p *program.Program, lib *profiles.Library, name, folder string) error {
	if dirs, _ := p.Settings.Writable(); folder != "" && !slices.ContainsFunc(dirs, func(dir string) bool { return settings.Same(dir, folder) }) {
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

func historyCommand(p *program.Program) *cobra.Command {
	var folder string
	var show int
	var check bool
	c := &cobra.Command{
		Use:   "history NAME",
		Short: "tell who changed a profile, when, and to what",
		Long:  `history lists the versions of a profile of yours or of the studio, the oldest first. Each saving through swellbox is one, and each change that an editor made while swellbox was running or before it saved. Nothing is ever removed from a history: it lies in the folder .history beside the profiles.`,
		Args:  usage.Exactly(1, "the name of a profile"),
		RunE: func(c *cobra.Command, args []string) error {
			h, err := pastOf(p, args[0], folder)
			if err != nil {
				return err
			}
			if c.Flags().Changed("show") {
				_, content, err := h.version(show)
				if err == nil {
					_, err = p.Out.Write(content)
				}
				return err
			}
			if check {
				if err := h.store.Check(); err != nil {
					return err
				}
			}
			if p.Settings.JSON {
				return p.PrintJSON(h)
			}
			return printPast(p, h)
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

func printPast(p *program.Program, h *past) error {
	fmt.Fprintf(p.Out, "%s, %s, in %s\n", h.Document, h.Origin, h.Folder)
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
	if err := t.Write(p.Out, p.Width()); err != nil {
		return err
	}
	if _, err := os.Lstat(filepath.Join(h.Folder, h.Document)); err != nil {
		fmt.Fprintln(p.Out, "the document has been removed; profile back brings a version back")
	} else if !current {
		fmt.Fprintln(p.Out, "what the document holds now is not in the history yet; the next change takes it in")
	}
	return nil
}

// when is the time of a version by the clock on the wall.
func when(v store.Version) string { return v.Time.Local().Format("2006-01-02 15:04:05") }

func backCommand(p *program.Program) *cobra.Command {
	var folder string
	c := &cobra.Command{
		Use:   "back NAME N",
		Short: "make an earlier version of a profile the newest one",
		Long: `back puts version N of profile history in the place of the profile. That is a new
version itself: what was there before can be brought back in the same way.`,
		Args: usage.Exactly(2, "NAME N"),
		RunE: func(_ *cobra.Command, args []string) error {
			n, err := strconv.Atoi(args[1])
			if err != nil {
				return fmt.Errorf("%q is no number of a version: %w", args[1], usage.ErrUsage)
			}
			return bringBack(p, args[0], folder, n)
		},
	}
	c.Flags().StringVar(&folder, "in", "", "`folder` of profiles, where several have one of that name")
	return c
}

func bringBack(p *program.Program, name, folder string, n int) error {
	h, err := pastOf(p, name, folder)
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
	saved, err := h.store.Back(h.Document, n, p.Settings.Writer())
	if err != nil {
		return err
	}
	if p.Settings.JSON {
		return p.PrintJSON(struct {
			Document  string        `json:"document"`
			Folder    string        `json:"folder"`
			Back      store.Version `json:"back"`
			Hash      store.Hash    `json:"hash"`
			Unchanged bool          `json:"unchanged"`
		}{h.Document, h.Folder, v, saved.Hash, saved.Unchanged})
	}
	if saved.Unchanged {
		_, err = fmt.Fprintf(p.Out, "%s is as in version %d already\n", h.Document, n)
		return err
	}
	_, err = fmt.Fprintf(p.Out, "%s in %s is again as %s left it on %s\n", h.Document, h.Folder, orNobody(v.Author), strings.Replace(when(v), " ", " at ", 1))
	return err
}
