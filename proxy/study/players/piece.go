package players

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"

	"swellbox/proxy/formats/match"
)

// Note is a note of the score that most of the players play. Grace notes, whose time is the
// player's own, are left out.
type Note struct {
	ID         string
	Onset, End float64 // in beats of the first time signature
	Key        uint8   // MIDI note
}

// Take is how one player played a piece.
type Take struct {
	Player string // the file's name
	Notes  map[string]Sound
	Pedal  []Pedal // in the order of At
}

// Sound is one note as it was played.
type Sound struct {
	On, Off  float64 // seconds
	Velocity float64
}

// Pedal is what the damper pedal is set to from a time on.
type Pedal struct {
	At    float64 // seconds
	Value float64 // 0..127
}

// Piece is a piece and its takes.
type Piece struct {
	Name   string
	Notes  []Note // in the order of Onset, then Key
	Takes  []Take
	Metres []match.Metre
	Score  string // path of the MusicXML score beside the takes; empty if there is none
}

// leastNotes is the fewest notes of which a correlation says anything.
const leastNotes = 80

// ErrShort is that a piece has too few notes to be measured.
var ErrShort = errors.New("fewer than 80 notes that most players play")

// Folders lists the folders under root that hold alignments. Errors name the path.
func Folders(root string) ([]string, error) {
	var folders []string
	err := filepath.WalkDir(root, func(path string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() && filepath.Ext(path) == ".match" {
			if dir := filepath.Dir(path); len(folders) == 0 || folders[len(folders)-1] != dir {
				folders = append(folders, dir)
			}
		}
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("looking for alignments: %w", err)
	}
	slices.Sort(folders)
	return slices.Compact(folders), nil
}

// ReadPiece reads a folder of alignments of one piece, of at most so many players.
func ReadPiece(dir string, most int) (*Piece, error) {
	files, err := filepath.Glob(filepath.Join(dir, "*.match"))
	if err != nil {
		return nil, err
	}
	slices.Sort(files)
	p := &Piece{Name: filepath.Base(filepath.Dir(dir)) + "/" + filepath.Base(dir)}
	notes := map[string]Note{}
	var order []string
	for _, f := range files[:min(len(files), most)] {
		a, err := match.ReadFile(f)
		if err != nil {
			return nil, err
		}
		take, score := takeOf(a)
		take.Player = filepath.Base(f)
		p.Takes = append(p.Takes, take)
		for _, n := range score {
			if _, known := notes[n.ID]; !known {
				notes[n.ID] = n
				order = append(order, n.ID)
			}
		}
		if len(p.Takes) == 1 {
			p.Metres = a.Metres
		}
	}
	for _, id := range order {
		played := 0
		for i := range p.Takes {
			if _, ok := p.Takes[i].Notes[id]; ok {
				played++
			}
		}
		if 2*played > len(p.Takes) {
			p.Notes = append(p.Notes, notes[id])
		}
	}
	slices.SortStableFunc(p.Notes, func(a, b Note) int { return cmp.Or(cmp.Compare(a.Onset, b.Onset), cmp.Compare(a.Key, b.Key)) })
	if len(p.Metres) == 0 {
		p.Metres = []match.Metre{{Beats: 4, Unit: 4}}
	}
	if xml := filepath.Join(dir, "score.musicxml"); exists(xml) {
		p.Score = xml
	}
	if len(p.Notes) < leastNotes {
		return p, ErrShort
	}
	return p, nil
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

// takeOf takes from an alignment what was played of the score.
func takeOf(a *match.Alignment) (Take, []Note) {
	take := Take{Notes: map[string]Sound{}}
	var score []Note
	for _, n := range a.Score {
		if n.Played < 0 || n.Grace || n.End <= n.Onset {
			continue
		}
		s := a.Played[n.Played]
		take.Notes[n.ID] = Sound{s.On.Seconds(), s.Off.Seconds(), float64(s.Velocity)}
		score = append(score, Note{n.ID, n.Onset, n.End, n.Key})
	}
	for _, p := range a.Sustain {
		take.Pedal = append(take.Pedal, Pedal{p.At.Seconds(), float64(p.Value)})
	}
	return take, score
}

// span is the first and the last onset of the score in beats.
func (p *Piece) span() (first, last float64) {
	first, last = math.Inf(1), math.Inf(-1)
	for _, n := range p.Notes {
		first, last = min(first, n.Onset), max(last, n.Onset)
	}
	return first, last
}

// Half is the piece's first or second half in beats, with one of its takes.
func (p *Piece) Half(second bool, take int) *Piece {
	first, last := p.span()
	middle := math.Floor((first + last) / 2)
	h := *p
	h.Notes, h.Takes = nil, p.Takes[take:take+1]
	for _, n := range p.Notes {
		if (n.Onset >= middle) == second {
			h.Notes = append(h.Notes, n)
		}
	}
	return &h
}
