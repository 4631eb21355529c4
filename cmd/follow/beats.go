package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"swellbox/proxy/offline"
	"swellbox/proxy/study/follow"
	"swellbox/proxy/study/players"
)

// hearBeats prints how well the beat is heard in the scores of some folders, or of their players.
func hearBeats(folders []string, most int, humans bool) error {
	fmt.Println("| folder | pieces | beats F | first beats F | sure | right where sure | tempo found | double | half | other |")
	fmt.Println("|---|---|---|---|---|---|---|---|---|---|")
	for _, folder := range folders {
		paths, err := someScores(folder, most)
		if err != nil {
			return err
		}
		var sum follow.Beats
		for _, path := range paths {
			heard, err := music(path, humans)
			if err != nil {
				fmt.Fprintf(os.Stderr, "%s is left out: %v\n", path, err)
			}
			for _, m := range heard {
				sum.Add(follow.Listen(m))
			}
		}
		part := func(n, of int) float64 { return float64(n) / float64(max(of, 1)) }
		fmt.Printf("| %s | %d | %.3f | %.3f | %.2f | %.3f | %d | %d | %d | %d |\n", folder, sum.Pieces,
			follow.F(sum.Written, sum.Told, sum.Right), follow.F(sum.WrittenDowns, sum.ToldDowns, sum.RightDowns),
			part(sum.Sure, sum.Told), part(sum.SureRight, sum.Sure), sum.Found, sum.Double, sum.Half, sum.Off)
	}
	return nil
}

// music is a score as it is played back, or as its players play it.
func music(path string, humans bool) ([]*follow.Music, error) {
	score, _, err := offline.ReadScore(path, nil)
	if err != nil {
		return nil, err
	}
	if score == nil || len(score.Notes) == 0 {
		return nil, errors.New("it has no notes")
	}
	if !humans {
		return []*follow.Music{follow.ScoreMusic(score, 1)}, nil
	}
	p, err := players.ReadPiece(filepath.Dir(path), playersMost)
	if err != nil {
		return nil, err
	}
	beats := beatsOf(p, score)
	var heard []*follow.Music
	for i := range p.Takes {
		var notes []follow.Played
		for k, n := range p.Notes {
			if s, ok := p.Takes[i].Notes[n.ID]; ok {
				notes = append(notes, follow.Played{Onset: follow.Onset{At: s.On, Key: n.Key, Velocity: uint8(s.Velocity)}, Beat: beats[k]})
			}
		}
		heard = append(heard, follow.PlayedMusic(score, notes))
	}
	return heard, nil
}
