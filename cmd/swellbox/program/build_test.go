package program

import (
	"runtime/debug"
	"strings"
	"testing"

	"swellbox/profiles/lock"
)

// A version says what is known of the checkout, and that nothing is where nothing is.
func TestVersion(t *testing.T) {
	const rev = "7a415f2b920c4eef34c66cf79386fd25ba829236"
	vcs := []debug.BuildSetting{{Key: "vcs.revision", Value: rev}, {Key: "vcs.modified", Value: "true"}}
	for _, c := range []struct {
		name, main, linked string
		settings           []debug.BuildSetting
		want               lock.Build
	}{
		{"a checkout", "v0.0.0-20261201020358-7a415f2b920c", "", vcs[:1], lock.Build{Version: "v0.0.0-20261201020358-7a415f2b920c", Revision: rev}},
		{"a changed one", "v0.0.0-20261201020358-7a415f2b920c+dirty", rev + " changed", vcs, lock.Build{Version: "v0.0.0-20261201020358-7a415f2b920c+dirty", Revision: rev, Changed: true}},
		{"a worktree by go build", "(devel)", "", nil, lock.Build{Version: "built without version control"}},
		{"a test", "", "", nil, lock.Build{Version: "built without version control"}},
		{"a worktree by make build", "(devel)", rev, nil, lock.Build{Version: "at revision 7a415f2b920c", Revision: rev}},
		{"a changed one", "(devel)", rev + " changed", nil, lock.Build{Version: "at revision 7a415f2b920c", Revision: rev, Changed: true}},
		{"a release", "v1.2.3", "", nil, lock.Build{Version: "v1.2.3"}},
	} {
		info := &debug.BuildInfo{Main: debug.Module{Path: "swellbox", Version: c.main}, Settings: c.settings}
		got := buildOf(info, c.linked)
		if got.Version != c.want.Version || got.Revision != c.want.Revision || got.Changed != c.want.Changed {
			t.Errorf("%s: got %q, revision %q, changed %v; want %q, %q, %v", c.name, got.Version, got.Revision, got.Changed, c.want.Version, c.want.Revision, c.want.Changed)
		}
	}
}

// Two programs of which one is unknown are never called the same.
func TestLockOfAnUnknownProgram(t *testing.T) {
	unknown := lock.Build{Version: lock.Unversioned}
	former := lock.Build{Version: lock.Devel}
	known := lock.Build{Version: "v1.2.3"}
	for _, c := range []struct {
		then, now lock.Build
		want      string // "": they are the same
	}{
		{known, known, ""},
		{unknown, unknown, "this swellbox was built without version control"},
		{known, unknown, "this swellbox was built without version control"},
		{unknown, known, "made by a swellbox built without version control"},
		{former, known, "made by a swellbox built without version control"},
		{known, lock.Build{Version: "v1.2.4"}, "made by swellbox v1.2.3, and this is v1.2.4"},
	} {
		if same := c.then.Same(&c.now); same != (c.want == "") {
			t.Errorf("%q and %q: same %v", c.then.Version, c.now.Version, same)
		}
		if c.want == "" {
			continue
		}
		if said := otherProgram("swellbox.lock", &c.then, &c.now); !strings.Contains(said, c.want) {
			t.Errorf("%q and %q: %q says not %q", c.then.Version, c.now.Version, said, c.want)
		}
	}
}
