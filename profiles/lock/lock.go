package lock

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"go.yaml.in/yaml/v3"

	"swellbox/profiles"
	"swellbox/profiles/atomicfile"
	"swellbox/profiles/reading"
)

// Lock is what a lock file says.
type Lock struct {
	Program   Build // the program that made it
	Seating   Member
	Documents []Member // profiles and controller maps; of two with one name the weaker first
}

// Member is one document of a lock.
type Member struct {
	Name    string          // of the profile or controller map; "seating" for the seating
	Origin  profiles.Origin // where it came from; of a seating nothing is said
	File    string          // name of its file, without the folder
	Content []byte
}

// Hash is the SHA-256 of the content in hexadecimal digits.
func (m *Member) Hash() string {
	sum := sha256.Sum256(m.Content)
	return hex.EncodeToString(sum[:])
}

// Limit is the size of the largest lock, in bytes. The whole orchestra of the
// built-in profiles takes a fiftieth of it.
const Limit = 2 << 20

// Part is one part of the piece, as it was cast.
type Part struct {
	Name    string
	Port    int // from 1
	Channel int // 1..16
	Profile string
	Players int  // 0: as many as the profile has
	Seated  bool // by the seating; else the lock seats it by port and channel
}

// Make locks the parts of a piece to what the library and the seating (nil for
// none) say now. program is the program that does it.
func Make(program Build, lib *profiles.Library, seating *profiles.Seating, parts []Part) (*Lock, error) {
	s := profiles.Seating{Ensemble: profiles.DefaultEnsemble}
	if seating != nil {
		s.Ensemble = seating.Ensemble
		s.Seats = append(s.Seats, seating.Seats...)
	}
	for _, p := range parts {
		if !p.Seated {
			s.Seats = append(s.Seats, profiles.Seat{Part: reading.Printable(p.Name), Port: p.Port, Channel: p.Channel, Profile: p.Profile, Players: p.Players})
		}
	}
	if len(s.Seats) == 0 {
		return nil, errors.New("there is nothing to lock: the piece has no parts, and there is no seating")
	}
	text, err := seatingText(&s)
	if err != nil {
		return nil, err
	}
	l := &Lock{Program: program, Seating: Member{Name: "seating", File: "seating.yaml", Content: text}}
	if err := l.gather(lib, &s); err != nil {
		return nil, err
	}
	return l, l.check()
}

// gather adds what the profiles and controller maps of the seats are made of.
func (l *Lock) gather(lib *profiles.Library, s *profiles.Seating) error {
	var names, maps []string
	maps = appendOnce(maps, s.Ensemble.ControllerMap)
	for _, seat := range s.Seats {
		names = appendOnce(names, seat.Profile)
		maps = appendOnce(maps, seat.ControllerMap)
	}
	docs, err := lib.Needs(names...)
	if err != nil {
		return err
	}
	for _, d := range docs {
		l.Documents = append(l.Documents, member(d.Name, &d.Source))
	}
	for _, name := range maps {
		m, ok := lib.LookupControllerMap(name)
		if !ok {
			return fmt.Errorf("no controller map is named %q", name)
		}
		l.Documents = append(l.Documents, member(m.Name, &m.Source))
	}
	return nil
}

// appendOnce adds a name that is not there yet and not empty.
func appendOnce(names []string, name string) []string {
	for _, n := range names {
		if n == name {
			return names
		}
	}
	if name == "" {
		return names
	}
	return append(names, name)
}

// member takes a document in. Folders stay out of the lock: it is passed on, and
// they mean nothing to others.
func member(name string, s *profiles.Source) Member {
	origin := s.Origin
	if origin.Kind != profiles.Installed {
		origin.Label = ""
	}
	file := filepath.Base(strings.TrimPrefix(s.File, "built-in "))
	return Member{Name: name, Origin: origin, File: file, Content: s.Bytes()}
}

// check sees that the lock needs nothing but itself.
func (l *Lock) check() error {
	lib, err := l.Library()
	if err != nil {
		return err
	}
	s, err := l.Seats()
	if err != nil {
		return err
	}
	return s.Check(lib)
}

// Library is a library of exactly the documents of the lock.
func (l *Lock) Library() (*profiles.Library, error) {
	var docs []*profiles.Document
	var maps []*profiles.ControllerMap
	for _, m := range l.Documents {
		f, err := profiles.ParseAny(m.title(), m.Content)
		if err != nil {
			return nil, err
		}
		switch {
		case f.Profile != nil && f.Profile.Name == m.Name:
			f.Profile.Origin = m.Origin
			docs = append(docs, f.Profile)
		case f.ControllerMap != nil && f.ControllerMap.Name == m.Name:
			f.ControllerMap.Origin = m.Origin
			maps = append(maps, f.ControllerMap)
		default:
			return nil, fmt.Errorf("%s: the document is no profile or controller map of the name %s; take the lock from where it was made", m.title(), m.Name)
		}
	}
	return profiles.LibraryOf(docs, maps)
}

// Seats is the seating of the lock.
func (l *Lock) Seats() (*profiles.Seating, error) {
	return profiles.ParseSeating(l.Seating.title(), l.Seating.Content)
}

func (m *Member) title() string { return "locked " + m.File }

// Encode writes the lock. The same lock has the same bytes.
func (l *Lock) Encode() ([]byte, error) {
	root := mapping(
		"swellbox_lock", plain("1"),
	)
	root.Content = append(root.Content, l.Program.nodes()...)
	root.Content = append(root.Content, mapping(
		"seating", mapping("sha256", plain(l.Seating.Hash()), "content", literal(l.Seating.Content)),
	).Content...)
	docs := &yaml.Node{Kind: yaml.SequenceNode}
	for i := range l.Documents {
		m := &l.Documents[i]
		n := mapping("name", quoted(m.Name), "origin", quoted(string(m.Origin.Kind)))
		if m.Origin.Label != "" {
			n.Content = append(n.Content, mapping("label", quoted(m.Origin.Label)).Content...)
		}
		n.Content = append(n.Content, mapping("file", quoted(m.File), "sha256", plain(m.Hash()), "content", literal(m.Content)).Content...)
		docs.Content = append(docs.Content, n)
	}
	root.Content = append(root.Content, plain("documents"), docs)
	root.Content[0].HeadComment = "Locks a piece to the profiles that it was made with. Written by swellbox profile lock;\nused by --locked. A document that is changed here is refused."
	var b bytes.Buffer
	e := yaml.NewEncoder(&b)
	e.SetIndent(2)
	if err := errors.Join(e.Encode(root), e.Close()); err != nil {
		return nil, fmt.Errorf("cannot write the lock: %w", err)
	}
	if b.Len() > Limit {
		return nil, fmt.Errorf("cannot write the lock: its documents take %d bytes, allowed are %d", b.Len(), Limit)
	}
	return b.Bytes(), nil
}

// Write makes or replaces the lock at path, whole or not at all.
func (l *Lock) Write(path string) error {
	b, err := l.Encode()
	if err != nil {
		return err
	}
	return atomicfile.WriteBytes(path, b)
}

// mapping is a mapping of names, each followed by its value.
func mapping(pairs ...any) *yaml.Node {
	n := &yaml.Node{Kind: yaml.MappingNode}
	for i := 0; i < len(pairs); i += 2 {
		n.Content = append(n.Content, plain(pairs[i].(string)), pairs[i+1].(*yaml.Node))
	}
	return n
}

func plain(s string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Value: s} }

// quoted is text that stays text, whatever it looks like.
func quoted(s string) *yaml.Node {
	return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: s}
}

// literal is a document as lines to read, if it comes back byte for byte from
// that, else as one quoted line.
func literal(b []byte) *yaml.Node {
	n := quoted(string(b))
	n.Style = yaml.LiteralStyle
	var back string
	if text, err := yaml.Marshal(n); err != nil || yaml.Unmarshal(text, &back) != nil || back != n.Value {
		n.Style = yaml.DoubleQuotedStyle
	}
	return n
}
