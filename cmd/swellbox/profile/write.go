package profile

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/usage"
	"swellbox/profiles"
	"swellbox/profiles/change"
)

func writeCommands(p *program.Program) []*cobra.Command {
	return []*cobra.Command{newCommand(p), diffCommand(p), editCommand(p), setCommand(p), learnCommand(p), updateCommand(p)}
}

func setCommand(p *program.Program) *cobra.Command {
	const due = 3
	c := &cobra.Command{
		Use:   "set NAME PATH VALUE",
		Short: "change one value of a profile, keeping its comments",
		Long: `set changes one value and leaves the rest of the document as it is written. A profile that is built in or installed stays: an own document that extends it is made.

  swellbox profile set violins vibrato.depth_low_cents 35
  swellbox profile set trumpet orchestra_weight.amount 0.8
  swellbox profile set cello sampler.vibrato_depth none`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) > due && strings.HasPrefix(args[due], "-") {
				if err := c.Flags().Parse(args[due:]); err != nil {
					return fmt.Errorf("%w: %w", err, usage.ErrUsage)
				}
				args = append(args[:due:due], c.Flags().Args()...)
			}
			return usage.Exactly(due, "NAME PATH VALUE")(c, args)
		},
		RunE: func(_ *cobra.Command, args []string) error {
			lib, d, err := drafted(p, args[0])
			if err != nil {
				return err
			}
			path, was := profiles.Present(args[1])
			if was {
				p.Warn([]string{fmt.Sprintf("%s is now called %s", args[1], path)})
			}
			content, _, err := change.Update(d.content)
			if err != nil {
				return fmt.Errorf("%s: %w", d.path(), err)
			}
			content, err = change.Set(content, path, args[2])
			if err != nil {
				return err
			}
			w, err := save(p, lib, d, content, "set "+path+" to "+args[2])
			if err != nil {
				return nextStep(err, args[0], path, args[2])
			}
			return tellWritten(p, w)
		},
	}
	c.Flags().SetInterspersed(false) // a value may begin with a minus; flags behind it are taken by Args
	return c
}

// nextStep says what to type first where a value cannot be set because a controller is another's.
func nextStep(err error, name, path, value string) error {
	var problems profiles.Problems
	if !errors.As(err, &problems) {
		return err
	}
	for _, problem := range problems {
		other, taken := profiles.TakenBy(problem)
		if !taken {
			continue
		}
		if other == strings.TrimSuffix(path, ".controller") {
			other = strings.TrimSuffix(problem.Key, ".controller")
		}
		return fmt.Errorf("controller %[3]s is that of %[4]s now, so nothing is changed; if your sampler has none for that, type\n  swellbox profile set %[1]s %[4]s none\nelse give it another number\n  swellbox profile set %[1]s %[4]s.controller NUMBER\nand then again\n  swellbox profile set %[1]s %[2]s %[3]s\nTo choose for all parts at once there is --controller-map dynamics-on-1", name, path, value, other)
	}
	return err
}

func newCommand(p *program.Program) *cobra.Command {
	var extends, to string
	c := &cobra.Command{
		Use:   "new NAME --extends PARENT",
		Short: "begin a profile of your own, with all that can be changed in it as comments",
		Args:  usage.Exactly(1, "the name of the new profile"),
		RunE: func(_ *cobra.Command, args []string) error {
			if extends == "" {
				return fmt.Errorf("say with --extends on which profile %s is based, such as --extends violins: %w", args[0], usage.ErrUsage)
			}
			lib, warnings, err := browse(p)
			if err != nil {
				return err
			}
			p.Warn(warnings)
			d := &draft{name: args[0], dir: to, file: args[0] + ".yaml", own: true}
			if to == "" {
				if d.dir, err = p.Settings.HomeProfiles(); err != nil {
					return err
				}
			}
			if d.content, err = beginning(lib, args[0], extends); err != nil {
				return err
			}
			for _, other := range lib.Layers(d.name) {
				if settings.Same(filepath.Dir(other.File), d.dir) {
					return fmt.Errorf("%s has the profile %s already, and stays as it is", other.File, d.name)
				}
			}
			if err := d.unwritten(); err != nil {
				return err
			}
			w, err := save(p, lib, d, d.content, "new, extends "+extends)
			if err != nil {
				return err
			}
			w.Changes = []change.Line{}
			return tellWritten(p, w)
		},
	}
	c.Flags().StringVar(&extends, "extends", "", "`name` of the profile that it is based on")
	c.Flags().StringVar(&to, "to", "", "`folder` to write it into, in place of your own")
	return c
}

// beginning is a new document in which nothing is changed yet. All that its parent
// says stands in it as comments.
func beginning(lib *profiles.Library, name, parent string) ([]byte, error) {
	head := fmt.Sprintf("swellbox: 1\nname: %s\nextends: %s\n", name, parent)
	if _, err := profiles.Parse("new profile", []byte(head)); err != nil {
		return nil, err
	}
	p, err := lib.Resolve(parent)
	if err != nil {
		return nil, err
	}
	whole, err := lib.Show(parent)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "# %s: %s\n%s", name, "as "+parent+", which is "+profiles.Describe(p), head)
	fmt.Fprintf(&b, "\n# All that %s says follows. To change a value, take the \"# \" away before it and\n# before the section that it stands in, and write the value.\n#\n", parent)
	for line := range strings.Lines(string(whole)) {
		bare := strings.TrimSpace(line)
		top, _, _ := strings.Cut(line, ":")
		if bare == "" || bare[0] == '#' || top == "swellbox" || top == "name" || top == "extends" {
			continue
		}
		b.WriteString("# " + line)
	}
	return b.Bytes(), nil
}
