package main

import (
	"fmt"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/profiles/lock"
)

// build is what this program was built from.
func build() lock.Build {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return lock.Build{Version: unversioned}
	}
	return buildOf(info)
}

// unversioned is the version of a program that was built out of a changed checkout, of
// which Go says no more.
const unversioned = "(devel)"

func buildOf(info *debug.BuildInfo) lock.Build {
	b := lock.Build{Version: info.Main.Version, Go: info.GoVersion}
	if b.Version == "" {
		b.Version = unversioned
	}
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			b.Revision = s.Value
		case s.Key == "vcs.modified" && s.Value == "true":
			b.Changed = true
		}
	}
	for _, dep := range info.Deps {
		if dep.Replace != nil {
			dep = dep.Replace
		}
		b.Libraries = append(b.Libraries, lock.Library{Name: dep.Path, Version: dep.Version})
	}
	slices.SortFunc(b.Libraries, func(x, y lock.Library) int { return strings.Compare(x.Name, y.Name) })
	return b
}

// addVersion gives swellbox itself the flag --version.
func addVersion(root *cobra.Command) {
	root.Flags().Bool("version", false, "print version, revision and the versions of all libraries")
}

func (p *program) printVersion() error {
	b := build()
	if p.json {
		return p.printJSON(b)
	}
	fmt.Fprintf(p.out, "swellbox %s\n", b.Version)
	switch {
	case b.Revision != "" && b.Changed:
		fmt.Fprintf(p.out, "revision %s, changed since\n", b.Revision)
	case b.Revision != "":
		fmt.Fprintf(p.out, "revision %s\n", b.Revision)
	}
	fmt.Fprintf(p.out, "built by %s with\n", b.Go)
	for _, l := range b.Libraries {
		fmt.Fprintf(p.out, "  %s %s\n", l.Name, l.Version)
	}
	return nil
}
