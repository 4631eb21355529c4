package foreground

import (
	"context"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/balance"
	"swellbox/proxy/study/fit"
)

// Movement is one that is held against.
type Movement struct {
	*fit.Told
	Folder string
	File   *smf.File // as the score has it, with its dynamics; nil where it goes another way than the tables
	piece  *expr.Score
	shift  float64 // by how many quarter notes the file is later than the tables
}

// ticks of a quarter note in a file that is made of a score.
func (m *Movement) ticks() float64 { return float64(m.File.Division.TicksPerQuarter) }

// shared is which share of the notes of a score must stand where the tables have them.
const shared = 0.85

// Read reads a movement. Errors name the folder.
func Read(folder string) (*Movement, error) {
	told, err := fit.ReadTold(folder)
	if err != nil {
		return nil, err
	}
	m := &Movement{Told: told, Folder: folder}
	file, score, err := offline.ReadPiece(filepath.Join(folder, "score.mxl"), offline.LeaveOrnaments)
	if err != nil {
		return nil, err
	}
	found := 0.0
	m.shift, found = shiftOf(told.Score, score)
	if found >= shared && len(score.Parts) == len(told.Score.Parts) {
		m.File, m.piece = file, score
	}
	return m, nil
}

// shiftOf is by how many quarter notes a score is later than the tables, by the notes that then are in both,
// and which share they are. An upbeat that is padded to a bar makes a difference of some quarters.
func shiftOf(tables, score *expr.Score) (shift, found float64) {
	type place struct{ part, key, at int }
	at := func(q float64) int { return int(math.Round(q * 24)) }
	known := map[place]bool{}
	for i := range tables.Notes {
		n := &tables.Notes[i]
		known[place{int(n.Part), int(n.Key), at(n.Beat)}] = true
	}
	for eighths := -8; eighths <= 8; eighths++ {
		by, hits := float64(eighths)/2, 0
		for i := range score.Notes {
			n := &score.Notes[i]
			if known[place{int(n.Part), int(n.Key), at(n.Beat - by)}] {
				hits++
			}
		}
		if share := float64(hits) / float64(max(len(score.Notes), 1)); share > found {
			shift, found = by, share
		}
	}
	return shift, found
}

// flatVelocity is that of all notes where dynamics are left out.
const flatVelocity = 64

// Flat is a file of the tables: the highest note of each part, all equally loud, in bars of four quarters.
func (m *Movement) Flat() *smf.File {
	const ticks = 960
	f := &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: ticks}, Tracks: make([]smf.Track, len(m.Score.Parts)+1)}
	for i, name := range m.Score.Parts {
		f.Tracks[i+1].Events = []smf.Event{{Data: append([]byte{0xFF, smf.MetaTrackName}, name...)}, {Data: []byte{0xFF, 0x21, byte(i / 9)}}}
	}
	for i := range m.Score.Notes {
		n := &m.Score.Notes[i]
		t := &f.Tracks[n.Part+1]
		from := int64(math.Round(n.Beat * ticks))
		to := max(int64(math.Round((n.Beat+n.Length)*ticks))-1, from+1)
		channel := byte(n.Part % 9)
		t.Events = append(t.Events, smf.Event{Tick: from, Data: []byte{0x90 | channel, n.Key, flatVelocity}}, smf.Event{Tick: to, Data: []byte{0x80 | channel, n.Key, 0}})
	}
	for i := range f.Tracks {
		t := &f.Tracks[i]
		slices.SortStableFunc(t.Events, func(a, b smf.Event) int { return int(a.Tick - b.Tick) })
		if n := len(t.Events); n > 0 {
			t.End = t.Events[n-1].Tick
		}
	}
	return f
}

// Heard is the report of the movement as its score has it, or of the same with a fault: its hairpins are known.
func (m *Movement) Heard(ctx context.Context, f *smf.File, cast *perform.Cast) (*balance.Result, error) {
	opt := balance.DefaultOptions()
	opt.Piece = m.piece
	return balance.Analyse(ctx, f, cast, opt)
}

// partOf finds a part of a report by its name in the tables, where names have no line breaks.
func (m *Movement) partOf(name string) int {
	plain := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	return slices.IndexFunc(m.Score.Parts, func(p string) bool { return plain(p) == plain(name) })
}
