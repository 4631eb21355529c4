package offline_test

import (
	"path/filepath"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/proxy/offline"
)

// A score that is played in place of a file sounds as the score is written.
func TestPieceOfMusicXML(t *testing.T) {
	for _, name := range []string{"piano", "repeats", "segno", "transposing", "additive"} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join("..", "..", "testdata", "musicxml", name+".musicxml")
			file, piece, err := offline.ReadPiece(path, offline.PlayOrnaments)
			if err != nil {
				t.Fatal(err)
			}
			line, err := offline.NewTimeline(file, 0)
			if err != nil {
				t.Fatal(err)
			}
			got := line.Score()
			if len(got.Notes) != len(piece.Notes) {
				t.Fatalf("%d notes of the score's %d", len(got.Notes), len(piece.Notes))
			}
			type sound struct{ part, port, channel, key int }
			sounds := map[sound]int{}
			for _, n := range piece.Notes {
				sounds[sound{int(n.Part), int(n.Port), int(n.Channel), int(n.Key)}]++
			}
			for i, n := range got.Notes {
				sounds[sound{int(n.Part), int(n.Port), int(n.Channel), int(n.Key)}]--
				want := piece.Notes[i]
				if d := n.On - want.On; d < -2*time.Millisecond || d > 2*time.Millisecond {
					t.Errorf("note %d begins at %v, want %v", i, n.On, want.On)
				}
			}
			for s, n := range sounds {
				if n != 0 {
					t.Errorf("%+v sounds %d times less than written", s, n)
				}
			}
		})
	}
}

// What a score has written over its notes is told to a file of the same notes at another tempo.
func TestKnownByScore(t *testing.T) {
	path := filepath.Join("..", "..", "testdata", "musicxml", "piano.musicxml")
	file, piece, err := offline.ReadPiece(path, offline.PlayOrnaments)
	if err != nil {
		t.Fatal(err)
	}
	line, err := offline.NewTimeline(file, 0)
	if err != nil {
		t.Fatal(err)
	}
	own := line.Score()
	known, warning := line.Known(piece)
	if warning != "" {
		t.Errorf("a warning where all is alike: %s", warning)
	}
	var marks, staves int
	for i := range known.Notes {
		if known.Notes[i].Marks != own.Notes[i].Marks {
			marks++
		}
		if known.Notes[i].Staff == 2 {
			staves++
		}
	}
	if marks == 0 || staves == 0 {
		t.Errorf("%d notes got marks and %d the lower staff, want some of both", marks, staves)
	}
	if len(known.Bars) != len(piece.Bars) {
		t.Errorf("%d bars, want the score's %d", len(known.Bars), len(piece.Bars))
	}
	other := &expr.Score{Notes: []expr.Written{{Key: 1, Length: 1}, {Key: 2, Beat: 1, Length: 1}}, End: time.Second}
	if _, warning := line.Known(other); warning == "" {
		t.Error("no warning where the score is of another piece")
	}
}
