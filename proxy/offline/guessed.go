package offline

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"swellbox/profiles"
	"swellbox/profiles/names"
	"swellbox/profiles/reading"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/perform"
)

// Guessed is who a cast takes to play one part of a file.
type Guessed struct {
	perform.Part
	Program int // 1..128, where the channel plays by this seat with that program only; 0 for any
}

// GuessParts finds who plays in a file, in the order of the score. A channel that its programs
// make another instrument has a seat for each, under the program that calls it.
func GuessParts(f *smf.File, cast *perform.Cast) ([]Guessed, error) {
	if f.Format == 2 && len(f.Tracks) > 1 {
		return nil, fmt.Errorf("it holds %d pieces that are independent of one another; export the one you mean as a file of its own", len(f.Tracks))
	}
	t, err := NewTimeline(f, 0)
	if err != nil {
		return nil, err
	}
	if len(t.Hints) == 0 {
		return nil, errors.New("there are no notes in it, so nobody is to be seated")
	}
	var all []Guessed
	for _, h := range t.Hints {
		seats, err := t.guess(h, cast)
		if err != nil {
			return nil, err
		}
		all = append(all, seats...)
	}
	return all, nil
}

// Programs are the programs with which the channels of a file play their first notes, 1 to 128, by
// port and channel from 0.
func Programs(f *smf.File) (map[[2]int]int, error) {
	t, err := NewTimeline(f, 0)
	if err != nil {
		return nil, err
	}
	called := map[[2]int]int{}
	for _, h := range t.Hints {
		if h.HasProgram {
			called[[2]int{h.Port - 1, h.Channel - 1}] = h.Program
		}
	}
	return called, nil
}

// guess finds who plays on one channel.
func (t *Timeline) guess(h names.Hint, cast *perform.Cast) ([]Guessed, error) {
	part, profile, err := cast.Choose(h)
	if err != nil {
		return nil, err
	}
	first := Guessed{Part: part}
	if h.HasProgram {
		first.Program = h.Program
	}
	seats := []Guessed{first}
	for i := range t.Events {
		e := &t.Events[i]
		if !e.IsChannel() || int(e.Port)+1 != h.Port || e.Channel()+1 != h.Channel || e.Msg[0]&0xF0 != 0xC0 || profile.HasProgram(int(e.Msg[1])) {
			continue
		}
		h.Program, h.HasProgram = int(e.Msg[1])+1, true
		if part, profile, err = cast.Choose(h); err != nil {
			return nil, err
		}
		if !slices.ContainsFunc(seats, func(g Guessed) bool { return g.Program == h.Program }) {
			seats = append(seats, Guessed{Part: part, Program: h.Program})
		}
	}
	alike := func(g Guessed) bool { return g.Profile == first.Profile }
	if !slices.ContainsFunc(seats, func(g Guessed) bool { return !alike(g) }) {
		first.Program = 0
		return []Guessed{first}, nil
	}
	// What has no program stands last: the first whose address agrees plays.
	slices.SortStableFunc(seats, func(a, b Guessed) int { return min(b.Program, 1) - min(a.Program, 1) })
	return seats, nil
}

// SeatingText writes parts as a seating document of a piece, in which comments say what was
// guessed, how, how sure that is and what else it may be.
func SeatingText(piece string, parts []Guessed, ensemble profiles.Ensemble) ([]byte, error) {
	piece = reading.Printable(filepath.Base(piece))
	root := &yaml.Node{Kind: yaml.MappingNode}
	add(root, "swellbox", "1")
	add(root, "piece", piece)
	root.HeadComment = `Who plays what in this piece, as guessed from its names, its programs and the order of its
parts. Correct what is wrong; every line counts as it stands, and what has no seat is guessed.
Beside the piece, this file is found by itself if it is called seating.yaml, or as the piece
with .seating.yaml at the end; from anywhere else, give it with --seating.
swellbox profile list names the profiles.`
	if ensemble != profiles.DefaultEnsemble {
		add(root, "ensemble", "")
		of := &yaml.Node{Kind: yaml.MappingNode}
		root.Content[len(root.Content)-1] = of
		add(of, "headroom_db", fmt.Sprint(ensemble.HeadroomDB))
		add(of, "ceiling_db", fmt.Sprint(ensemble.CeilingDB))
		add(of, "room", ensemble.Room)
		add(of, "row", fmt.Sprint(ensemble.Row))
		if ensemble.ControllerMap != "" {
			add(of, "controller_map", ensemble.ControllerMap)
		}
	}
	seats := &yaml.Node{Kind: yaml.SequenceNode}
	for i := range parts {
		seats.Content = append(seats.Content, parts[i].seat())
	}
	root.Content = append(root.Content, &yaml.Node{Kind: yaml.ScalarNode, Value: "seats"}, seats)
	var b bytes.Buffer
	e := yaml.NewEncoder(&b)
	e.SetIndent(2)
	if err := errors.Join(e.Encode(root), e.Close()); err != nil {
		return nil, fmt.Errorf("cannot write the seating: %w", err)
	}
	return b.Bytes(), nil
}

// seat is a part as an entry of a seating.
func (g *Guessed) seat() *yaml.Node {
	n := &yaml.Node{Kind: yaml.MappingNode}
	if name := reading.Printable(g.Name); name != "" {
		add(n, "part", name)
	}
	add(n, "port", fmt.Sprint(g.Port+1))
	add(n, "channel", fmt.Sprint(g.Channel+1))
	if g.Program > 0 {
		add(n, "program", fmt.Sprint(g.Program))
	}
	add(n, "profile", g.Profile)
	if g.Articulation != "" {
		add(n, "articulation", g.Articulation)
	}
	if g.ControllerMap != "" {
		add(n, "controller_map", g.ControllerMap)
	}
	add(n, "players", fmt.Sprint(g.Players))
	n.HeadComment = g.remark()
	return n
}

// remark says how sure a part's instrument and number of players are, and why.
func (g *Guessed) remark() string {
	lines := []string{fmt.Sprintf("sure: %s, by %s", g.Profile, g.Why)}
	if g.Doubt != "" {
		lines = []string{fmt.Sprintf("DOUBTFUL: %s, by %s;", g.Profile, g.Why), g.Doubt}
		if len(g.Else) > 0 {
			lines = append(lines, "it may also be "+strings.Join(g.Else, " or "))
		}
	}
	return strings.Join(append(lines, g.playersTold()), "\n")
}

// playersTold says how many play a part, and how that was found.
func (g *Guessed) playersTold() string {
	many := fmt.Sprintf("%d players", g.Players)
	if g.Players == 1 {
		many = "one player"
	}
	switch g.By {
	case names.ByOne:
		return many
	case names.ByPlural:
		return "DOUBTFUL: " + many + ", as the name is a plural and gives no number"
	case names.ByName:
		return many + ", by the name"
	case names.BySeating:
		return many + ", by the seating"
	case names.BySection:
		return many + ", the usual size of a section"
	}
	return many + ", " + g.By // such as half of a divided section
}

// add adds a key with its value, as text that stays what it is.
func add(to *yaml.Node, key, value string) {
	v := &yaml.Node{Kind: yaml.ScalarNode, Value: value}
	var back yaml.Node
	if err := yaml.Unmarshal([]byte(value), &back); err != nil || len(back.Content) != 1 || back.Content[0].Kind != yaml.ScalarNode || back.Content[0].Value != value || key == "part" || key == "piece" {
		v.Tag = "!!str"
	}
	to.Content = append(to.Content, &yaml.Node{Kind: yaml.ScalarNode, Value: key}, v)
}
