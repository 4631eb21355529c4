package expr_test

import (
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
)

// Debian 12 brings Node.js 18, and on a fresh machine that is what .ci/deps installs.
const debiansNode = 18

var atLeast = regexp.MustCompile(`^(?:>=|\^|~)? ?(\d+)`)

// What the tests take from npm runs on the Node.js that a fresh machine has, by the package's own word.
func TestArchitectureOfNodePackages(t *testing.T) {
	read := 0
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "node_modules" || d.Name() == ".git"):
			return filepath.SkipDir
		case d.Name() != "package-lock.json":
			return nil
		}
		b, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		var lock struct {
			Packages map[string]struct {
				Version string
				Engines struct{ Node string }
			}
		}
		if err := json.Unmarshal(b, &lock); err != nil {
			t.Errorf("%s: %v", path, err)
		}
		for name, p := range lock.Packages {
			read++
			found := atLeast.FindStringSubmatch(p.Engines.Node)
			if found == nil {
				continue // it says nothing
			}
			if n, _ := strconv.Atoi(found[1]); n > debiansNode {
				t.Errorf("%s: %s %s wants Node.js %s, and Debian 12 has %d: pin a version that runs there", path, name, p.Version, p.Engines.Node, debiansNode)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if read == 0 {
		t.Error("no package is looked at")
	}
}
