package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// module is one that the program is built from.
type module struct {
	Path, Version, Dir string
}

// modules lists those of the program on all systems that it is released for, but its own.
func modules() ([]module, error) {
	seen := map[string]module{}
	for _, system := range []string{"linux", "windows"} {
		c := exec.Command("go", "list", "-deps", "-json=Module", "./cmd/swellbox")
		c.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=1", "GOFLAGS=")
		b, err := c.Output()
		if err != nil {
			return nil, fmt.Errorf("go list for %s: %w", system, err)
		}
		for d := json.NewDecoder(strings.NewReader(string(b))); ; {
			var p struct {
				Module *struct {
					Path, Version, Dir string
					Main               bool
				}
			}
			if err := d.Decode(&p); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				return nil, fmt.Errorf("go list for %s: %w", system, err)
			}
			if m := p.Module; m != nil && !m.Main {
				seen[m.Path] = module{m.Path, m.Version, m.Dir}
			}
		}
	}
	var all []module
	for _, m := range seen {
		all = append(all, m)
	}
	slices.SortFunc(all, func(a, b module) int { return strings.Compare(a.Path, b.Path) })
	return all, nil
}

var licenceName = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice)([.-].*)?$`)

// licences are the licences of all modules, of the MP3 encoder that is no module, and of what the Go distribution puts into each program.
// A module without one is an error: what may not be passed on must not be.
func licences() ([]entry, error) {
	all, err := modules()
	if err != nil {
		return nil, err
	}
	b, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, fmt.Errorf("go env: %w", err)
	}
	root := strings.TrimSpace(string(b))
	return licencesOf(append(all, module{Path: "go", Dir: root}, module{Path: "lame", Dir: "proxy/formats/mp3"}))
}

func licencesOf(all []module) (out []entry, err error) {
	for _, m := range all {
		list, err := os.ReadDir(m.Dir)
		if err != nil {
			return nil, fmt.Errorf("%s: %w; run go mod download", m.Path, err)
		}
		n := len(out)
		for _, e := range list {
			if e.IsDir() || !licenceName.MatchString(e.Name()) || filepath.Ext(e.Name()) == ".go" {
				continue
			}
			b, err := os.ReadFile(filepath.Join(m.Dir, e.Name()))
			if err != nil {
				return nil, err
			}
			out = append(out, entry{"licences/" + m.Path + "/" + e.Name(), b, 0o644})
		}
		if len(out) == n {
			return nil, fmt.Errorf("%s %s has no licence in its folder, so it cannot be passed on", m.Path, m.Version)
		}
	}
	return out, nil
}
