package program

import (
	"runtime/debug"
	"slices"
	"strings"

	"swellbox/profiles/lock"
)

// Build is what this program was built from, as far as it can tell.
func Build() lock.Build {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return lock.Build{Version: lock.Unversioned}
	}
	return buildOf(info, revision)
}

// revision is what .ci/build says by the linker's -X, as go build looks for no revision in a further
// worktree of a repository: the revision, and " changed" behind it where the checkout was.
var revision string

func buildOf(info *debug.BuildInfo, revision string) lock.Build {
	b := lock.Build{Version: info.Main.Version, Go: info.GoVersion}
	b.Revision, b.Changed = strings.CutSuffix(revision, " changed")
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			b.Revision = s.Value
		case s.Key == "vcs.modified":
			b.Changed = s.Value == "true"
		}
	}
	if b.Version == "" || b.Version == lock.Devel {
		b.Version = lock.Unversioned
		if b.Revision != "" {
			b.Version = "at revision " + b.Revision[:min(len(b.Revision), 12)]
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
