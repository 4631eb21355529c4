package change

import (
	"fmt"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// step is one step down a path: a key or a name, or a place in a list from 1.
type step struct {
	name  string
	index int
}

func (s step) String() string {
	if s.index > 0 {
		return fmt.Sprintf("[%d]", s.index)
	}
	return s.name
}

// pathLimit is the longest path, in bytes.
const pathLimit = 500

// parsePath reads "sampler.level.points[2].level_db".
func parsePath(path string) ([]step, error) {
	if len(path) > pathLimit {
		return nil, fmt.Errorf("the path has %d bytes, allowed are %d", len(path), pathLimit)
	}
	var steps []step
	for _, part := range strings.Split(path, ".") {
		name, indexes, _ := strings.Cut(part, "[")
		if name == "" {
			return nil, fmt.Errorf("found the path %q, wanted keys with points between them, as in vibrato.onset_ms", path)
		}
		steps = append(steps, step{name: name})
		if indexes == "" && name == part {
			continue
		}
		for _, digits := range strings.Split(indexes, "[") {
			bare, closed := strings.CutSuffix(digits, "]")
			n, err := strconv.Atoi(bare)
			if err != nil || !closed || n < 1 || n > itemsLimit {
				return nil, fmt.Errorf("found %q in the path %q, wanted a place in a list from 1, as in points[2]", "["+digits, path)
			}
			steps = append(steps, step{index: n})
		}
	}
	return steps, nil
}

// Get is the value at a path of a document in one line of YAML, and whether it is
// there. Paths are those of [Set].
func Get(doc []byte, path string) (value string, found bool, err error) {
	s, err := read(doc)
	if err != nil {
		return "", false, err
	}
	steps, err := parsePath(path)
	if err != nil {
		return "", false, err
	}
	n := s.root
	for _, st := range steps {
		if n = follow(n, st); n == nil {
			return "", false, nil
		}
	}
	return flow(n), true, nil
}

// follow is the value one step down, or nil.
func follow(n *yaml.Node, st step) *yaml.Node {
	if st.index > 0 {
		if n.Kind == yaml.SequenceNode && st.index <= len(n.Content) {
			return n.Content[st.index-1]
		}
		return nil
	}
	if i, ok := find(n, st.name); ok && (i.key == nil || i.key.Value == st.name) {
		return i.value
	}
	return nil
}
