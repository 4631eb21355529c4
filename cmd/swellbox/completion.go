package main

import (
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/proxy/control"
)

// shells are those that can be taught to complete.
var shells = []string{"bash", "zsh", "fish", "powershell"}

func completionCommand(p *program.Program) *cobra.Command {
	return &cobra.Command{
		Use:   "completion " + strings.Join(shells, "|"),
		Short: "teach your shell to complete commands, flags, profiles, parts and ports",
		Long: `completion prints what teaches a shell to complete what you type of swellbox with the Tab key: commands and flags, and as their values habits, skills, profiles, the parts that play and the MIDI ports.

For this session:
  bash        source <(swellbox completion bash)
  zsh         source <(swellbox completion zsh)
  fish        swellbox completion fish | source
  powershell  swellbox completion powershell | Out-String | Invoke-Expression
For good, put that line into the file that your shell reads when it starts.`,
		ValidArgs: shells,
		Args: func(c *cobra.Command, args []string) error {
			if err := usage.Exactly(1, "the name of one shell: "+tell.InWords(shells, "or"))(c, args); err != nil {
				return err
			}
			return usage.OneOf("the shell", args[0], shells)
		},
		RunE: func(c *cobra.Command, args []string) error {
			root := c.Root()
			switch args[0] {
			case "bash":
				return root.GenBashCompletionV2(p.Out, true)
			case "zsh":
				return root.GenZshCompletion(p.Out)
			case "fish":
				return root.GenFishCompletion(p.Out, true)
			}
			return root.GenPowerShellCompletionWithDesc(p.Out)
		},
	}
}

// values gives what a word may be that is being typed.
type values func(c *cobra.Command, typed string) []string

func fixed(all ...string) values { return func(*cobra.Command, string) []string { return all } }

// setCompletions teaches every flag and argument its values. What has none here is a
// file, or anything.
func setCompletions(p *program.Program, root *cobra.Command) {
	flags := map[string]values{
		"timing": fixed(timingNotes, timingTempos, timingSteady), "grace": fixed(graceAsWritten, graceOn, graceBefore),
		"place": fixed("hall", "studio"), "prefer": fixed("own", "studio"),
		"log": fixed("debug", "info", "warn", "error"), "room": fixed("chamber", "mid", "large"), "listener": fixed("podium", "row 5", "row 10", "row 20"),
		"only": fromList(settings.HabitNames), "without": fromList(settings.HabitNames), "skill": fixed(skillNames()...),
		"extends": profileNames, "controller-map": mapNames, "articulation": fixed("sustained", "tremolo", "pizzicato"),
	}
	of := map[string]map[string]values{ // by command, where a flag of one name is another elsewhere
		"swellbox live": {"in": portNames(p, true), "out": portNames(p, false)},
		"swellbox play": {"out": portNames(p, false)},
		"swellbox demo": {"part": demoParts},
	}
	arguments := map[string][]values{ // by command; the last is that of all further ones
		"swellbox profile show": {profileNames, nil}, "swellbox profile edit": {profileNames, nil}, "swellbox profile set": {profileNames, nil},
		"swellbox profile history": {profileNames, nil}, "swellbox profile back": {profileNames, nil}, "swellbox profile diff": {profileNames},
	}
	maps.Copy(arguments, steered())
	var visit func(*cobra.Command)
	visit = func(c *cobra.Command) {
		for _, all := range []map[string]values{flags, of[c.CommandPath()]} {
			for name, v := range all {
				if f := c.Flags().Lookup(name); f != nil || c == root && c.PersistentFlags().Lookup(name) != nil {
					// Its only error is of a flag that has been given its values already.
					_ = c.RegisterFlagCompletionFunc(name, v.flag)
				}
			}
		}
		if known := arguments[c.CommandPath()]; known != nil {
			c.ValidArgs = nil
			c.ValidArgsFunction = func(c *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
				v := known[min(len(args), len(known)-1)]
				if v == nil {
					return nil, cobra.ShellCompDirectiveNoFileComp
				}
				return slices.DeleteFunc(v.begun(c, typed), func(name string) bool { return slices.Contains(args, name) }), cobra.ShellCompDirectiveNoFileComp
			}
		}
		for _, sub := range c.Commands() {
			visit(sub)
		}
	}
	visit(root)
}

// begun are the values that begin with what is typed.
func (v values) begun(c *cobra.Command, typed string) (all []string) {
	for _, name := range v(c, typed) {
		if strings.HasPrefix(name, typed) {
			all = append(all, name)
		}
	}
	return all
}

func (v values) flag(c *cobra.Command, _ []string, typed string) ([]string, cobra.ShellCompDirective) {
	all := v.begun(c, typed)
	if len(all) > 0 && strings.Contains(all[0], ",") {
		return all, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
	}
	return all, cobra.ShellCompDirectiveNoFileComp
}

// fromList completes the last of several names separated by commas.
func fromList(names func() []string) values {
	return func(_ *cobra.Command, typed string) []string {
		before := typed[:strings.LastIndexByte(typed, ',')+1]
		var all []string
		for _, name := range names() {
			if !slices.Contains(strings.Split(before, ","), name) {
				all = append(all, before+name)
			}
		}
		return all
	}
}

// settingsOf are those of a command line that is being typed; nothing is said of what is
// wrong with them.
func settingsOf(c *cobra.Command) (*settings.Settings, bool) {
	s, err := settings.Read(c.Flags())
	return &s, err == nil
}

func profileNames(c *cobra.Command, _ string) []string {
	if s, ok := settingsOf(c); ok {
		if lib, _ := s.Library(); lib != nil {
			return lib.Names()
		}
	}
	return nil
}

func mapNames(c *cobra.Command, _ string) []string {
	if s, ok := settingsOf(c); ok {
		if lib, _ := s.Library(); lib != nil {
			return lib.ControllerMaps()
		}
	}
	return nil
}

// partNames are the parts of the running swellbox.
func partNames(c *cobra.Command, _ string) []string {
	s, ok := settingsOf(c)
	if !ok {
		return nil
	}
	path, err := s.ControlPath()
	if err != nil {
		return nil
	}
	status, err := control.NewClient(path).Status()
	if err != nil {
		return nil
	}
	var all []string
	for _, part := range status.Parts {
		all = append(all, part.Name)
	}
	return all
}

func portNames(p *program.Program, in bool) values {
	return func(*cobra.Command, string) []string {
		system := p.System()
		defer system.Close()
		list, err := system.Ports()
		if err != nil {
			return nil
		}
		var all []string
		for _, port := range list {
			if in && port.In || !in && port.Out {
				all = append(all, port.Name)
			}
		}
		return all
	}
}
