package seqtest

import (
	"strings"
	"testing"
	"time"
)

func TestStageRefuses(t *testing.T) {
	one := []Scenario{{Name: "one"}}
	for _, c := range []struct {
		name, want string
		job        Job
	}{
		{"no scenario", "without scenarios", Job{}},
		{"empty name", `scenario name ""`, Job{Scenarios: []Scenario{{}}}},
		{"path as name", "scenario name", Job{Scenarios: []Scenario{{Name: "../x"}}}},
		{"two of a name", "two scenarios", Job{Scenarios: append(one, one...)}},
		{"file above", "file name", Job{Scenarios: one, Files: map[string][]byte{"../x": nil}}},
		{"absolute file", "file name", Job{Scenarios: one, Files: map[string][]byte{"/x": nil}}},
		{"command in a directory", "command name", Job{Scenarios: one, Commands: map[string]string{"a/b": "."}}},
		{"command that does not build", "go build ./nothing", Job{Scenarios: one, Commands: map[string]string{"a": "./nothing"}}},
	} {
		_, err := runAt(t.Context(), here{}, c.job)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
	}
}

func TestLimitOf(t *testing.T) {
	for in, want := range map[time.Duration]time.Duration{
		0:                       defaultLimit,
		time.Millisecond:        time.Second,
		time.Second:             time.Second,
		1001 * time.Millisecond: 2 * time.Second,
	} {
		if got := limitOf(Scenario{Limit: in}); got != want {
			t.Errorf("a limit of %v became %v, want %v", in, got, want)
		}
	}
}

// A scenario whose results did not come back must not pass for one that ended well.
func TestMissingStatus(t *testing.T) {
	job := Job{Scenarios: []Scenario{{Name: "here"}, {Name: "lost"}}}
	_, err := sortResults(job, map[string][]byte{"here/status": []byte("0\n"), "lost/log": nil}, true)
	if err == nil || !strings.Contains(err.Error(), "scenario lost left no status") {
		t.Errorf("error %v", err)
	}
}
