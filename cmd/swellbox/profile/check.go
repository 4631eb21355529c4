package profile

import (
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/profiles"
)

func checkCommand(p *program.Program) *cobra.Command {
	return &cobra.Command{
		Use:   "check [FILE…]",
		Short: "report all that is wrong with documents, or with all profiles",
		Long: `check reads profiles, seatings and controller maps and reports all that is wrong with them at once, each fault with file, line, column and key. A profile is checked together with those that it is based on, and those that are based on it.

Without files it checks all profiles and controller maps, and the seating if one is set.`,
		RunE: func(_ *cobra.Command, args []string) error {
			c, err := checkThem(p, args)
			if err != nil {
				return err
			}
			if p.Settings.JSON {
				err = p.PrintJSON(c)
			} else {
				for _, problem := range c.Problems {
					fmt.Fprintln(p.Out, problem.Error())
				}
			}
			switch {
			case err != nil:
				return err
			case len(c.Problems) > 0:
				return fmt.Errorf("%s in %s", tell.Counted(len(c.Problems), "problem"), tell.Counted(c.Checked, "document"))
			case !p.Settings.JSON:
				p.Sayf("nothing is wrong with %s", tell.Counted(c.Checked, "document"))
			}
			return nil
		},
	}
}

// Checked is what check found.
type Checked struct {
	Checked  int                `json:"checked"` // documents
	Problems []profiles.Problem `json:"problems"`
}

// note adds the problems of an error, each once: a fault of a parent shows in all
// that rest on it.
func (c *Checked) note(err error) {
	for _, problem := range problemsOf(err) {
		if !slices.Contains(c.Problems, problem) {
			c.Problems = append(c.Problems, problem)
		}
	}
}

func checkThem(p *program.Program, files []string) (*Checked, error) {
	lib, broken := p.Settings.Library()
	if lib == nil {
		return nil, broken
	}
	c := &Checked{Problems: []profiles.Problem{}}
	if len(files) == 0 {
		c.note(broken)
		c.Checked = len(problemFiles(c.Problems))
		c.all(lib)
		if p.Settings.Seating != "" {
			files = []string{p.Settings.Seating}
		}
	}
	given := map[*profiles.Document]bool{}
	var others []interface {
		Check(*profiles.Library) error
	}
	for _, file := range files {
		c.Checked++
		f, err := profiles.ReadFile(file)
		c.note(err)
		switch {
		case f.Profile != nil:
			given[f.Profile] = true
			c.note(lib.Add(f.Profile))
		case f.ControllerMap != nil:
			others = append(others, f.ControllerMap)
			c.note(lib.AddControllerMap(f.ControllerMap))
		case f.Seating != nil:
			others = append(others, f.Seating)
		}
	}
	for _, name := range lib.Names() {
		chain, err := lib.Chain(name)
		if err != nil && given[lib.Layers(name)[0]] {
			c.note(err)
		}
		if slices.ContainsFunc(chain, func(d *profiles.Document) bool { return given[d] }) {
			_, err := lib.Resolve(name)
			c.note(err)
		}
	}
	for _, o := range others {
		c.note(o.Check(lib))
	}
	return c, nil
}

// all resolves every profile, alone and through every controller map.
func (c *Checked) all(lib *profiles.Library) {
	for _, name := range lib.Names() {
		_, err := lib.Resolve(name)
		c.note(err)
		c.Checked += len(lib.Layers(name))
	}
	for _, name := range lib.ControllerMaps() {
		m, _ := lib.LookupControllerMap(name)
		c.note(m.Check(lib))
		c.Checked += len(lib.ControllerMapLayers(name))
	}
}

func problemFiles(problems []profiles.Problem) []string {
	var files []string
	for _, p := range problems {
		if p.File != "" && !slices.Contains(files, p.File) {
			files = append(files, p.File)
		}
	}
	return files
}
