package lock

import (
	"slices"

	"go.yaml.in/yaml/v3"
)

// Build is what a program was built from, by which a lock says what made it.
type Build struct {
	Version   string    `json:"version"`
	Revision  string    `json:"revision"` // of the repository; empty if it is not known
	Changed   bool      `json:"changed"`  // the checkout was not as that revision has it
	Go        string    `json:"go"`       // version of the compiler
	Libraries []Library `json:"libraries"`
}

// Library is one module that a program was built with.
type Library struct {
	Name    string `json:"name"`
	Version string `json:"version"`
}

// Unversioned is the version of a program that was built without version control: there may be
// any number of programs of that version.
const Unversioned = "built without version control"

// Devel is what Go calls such a version, as former locks do.
const Devel = "(devel)"

// Unknown reports that nobody can say which program it was.
func (b *Build) Unknown() bool {
	return b.Revision == "" && (b.Version == Unversioned || b.Version == Devel)
}

// Same reports whether two builds have one version and revision, as far as both say so. A build
// that is unknown is not the same as any.
func (b *Build) Same(other *Build) bool {
	if b.Unknown() || other.Unknown() {
		return false
	}
	return b.Version == other.Version && (b.Revision == other.Revision || b.Revision == "" || other.Revision == "")
}

// nodes are the keys of a lock that say what made it.
func (b *Build) nodes() []*yaml.Node {
	n := mapping("program", quoted(b.Version))
	if b.Revision != "" {
		revision := b.Revision
		if b.Changed {
			revision += changedSince
		}
		n.Content = append(n.Content, mapping("revision", quoted(revision)).Content...)
	}
	if len(b.Libraries) > 0 {
		all := &yaml.Node{Kind: yaml.MappingNode}
		for _, l := range b.Libraries {
			all.Content = append(all.Content, mapping(l.Name, quoted(l.Version)).Content...)
		}
		n.Content = append(n.Content, plain("libraries"), all)
	}
	return n.Content
}

// changedSince follows a revision that the checkout was not quite.
const changedSince = ", changed since"

// librariesLimit is the most libraries that a lock may name.
const librariesLimit = 200

// libraries reads what the program was built with.
func (r *reader) libraries(to *[]Library) func(*yaml.Node, string) {
	return func(n *yaml.Node, path string) {
		if n.Kind != yaml.MappingNode || len(n.Content) > 2*librariesLimit {
			r.fault(n, path, "wanted the names of at most %d libraries, each with its version", librariesLimit)
			return
		}
		for pair := range slices.Chunk(n.Content, 2) {
			l := Library{Name: pair[0].Value}
			r.text(&l.Version)(pair[1], join(path, l.Name))
			*to = append(*to, l)
		}
	}
}
