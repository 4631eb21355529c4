package profile

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/usage"
	"swellbox/profiles"
)

func editCommand(p *program.Program) *cobra.Command {
	return &cobra.Command{
		Use:   "edit NAME",
		Short: "open a profile in your editor, and check it before it is saved",
		Long: `edit opens a copy in the editor that VISUAL or EDITOR names. What you leave there is
checked and saved. If something is wrong with it, nothing is saved and the copy stays.`,
		Args: usage.Exactly(1, "the name of a profile"),
		RunE: func(c *cobra.Command, args []string) error {
			lib, d, err := drafted(p, args[0])
			if err != nil {
				return err
			}
			if err := d.adopt(); err != nil {
				return err
			}
			copied, content, err := edited(c.Context(), p, d)
			if err != nil {
				return err
			}
			w := &Written{Name: d.name, File: d.path(), Hash: d.base, Unchanged: true}
			if string(content) != string(d.content) {
				if w, err = save(p, lib, d, content, "edited"); err != nil {
					return fmt.Errorf("what you wrote is kept as %s: %w", copied, err)
				}
			}
			if err := os.RemoveAll(filepath.Dir(copied)); err != nil {
				p.Warn([]string{fmt.Sprintf("a copy is left behind: %v", err)})
			}
			return tellWritten(p, w)
		},
	}
}

// adopt takes the document into its history as it is, so that what others do to it
// while the editor is open can be merged.
func (d *draft) adopt() error {
	if d.base == "" {
		return nil
	}
	s, err := d.store()
	if err != nil {
		return err
	}
	_, err = s.Adopt(d.file, "")
	return err
}

// edited opens a copy of a draft in the user's editor, and returns its path and
// what it holds when the editor is closed.
func edited(ctx context.Context, p *program.Program, d *draft) (path string, content []byte, err error) {
	words := strings.Fields(cmp.Or(os.Getenv("VISUAL"), os.Getenv("EDITOR")))
	if len(words) == 0 {
		return "", nil, fmt.Errorf("no editor is known; name yours in the variable EDITOR, as in EDITOR=nano swellbox profile edit %s, or edit %s", d.name, d.path())
	}
	dir, err := os.MkdirTemp("", "swellbox-edit-")
	if err != nil {
		return "", nil, fmt.Errorf("cannot make a copy to edit: %w", err)
	}
	path = filepath.Join(dir, d.file)
	if err := os.WriteFile(path, d.content, 0o600); err != nil {
		return "", nil, fmt.Errorf("cannot make a copy to edit: %w", err)
	}
	editor := exec.CommandContext(ctx, words[0], append(words[1:], path)...)
	editor.Stdin, editor.Stdout, editor.Stderr = os.Stdin, p.Err, p.Err
	if err := editor.Run(); err != nil {
		return "", nil, fmt.Errorf("nothing is saved: the editor %s ended with an error (%w); your copy is %s", words[0], err, path)
	}
	f, err := os.Open(path)
	if err == nil {
		defer f.Close()
		content, err = io.ReadAll(io.LimitReader(f, profiles.DocumentLimit+1))
	}
	if err != nil {
		return "", nil, fmt.Errorf("nothing is saved: what the editor wrote cannot be read: %w", err)
	}
	return path, content, nil
}
