package main

import (
	"context"
	"fmt"
	"math"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/proxy/offline"
	"swellbox/proxy/study/learn"
	"swellbox/proxy/study/players"
)

// checkLearning prints by how much nearer a performance of half a piece comes to a player after
// learning from the other half.
func checkLearning(ctx context.Context, library *profiles.Library, folders []string, most int) error {
	var takes int
	var before, after, offBefore, offAfter, nearer float64
	fmt.Println("| piece | player | level r before | after | velocities off before | after | tempo r before | after |")
	fmt.Println("|---|---|---|---|---|---|---|---|")
	for _, folder := range folders {
		p, err := players.ReadPiece(folder, most)
		if err != nil || len(p.Takes) < 2 {
			continue // short, or of one player
		}
		var written *expr.Score
		if p.Score != "" {
			if written, _, err = offline.ReadScore(p.Score, nil); err != nil {
				return err
			}
		}
		checked, err := learn.Check(ctx, library, p, written, most)
		if err != nil {
			return err
		}
		for _, c := range checked {
			fmt.Printf("| %s | %s | %.2f | %.2f | %.1f | %.1f | %.2f | %.2f |\n", c.Piece, c.Player,
				c.Before[0], c.After[0], c.OffBefore, c.OffAfter, c.Before[2], c.After[2])
			if math.IsNaN(c.Before[0]) || math.IsNaN(c.After[0]) {
				continue
			}
			takes++
			before, after = before+c.Before[0], after+c.After[0]
			offBefore, offAfter = offBefore+c.OffBefore, offAfter+c.OffAfter
			if c.OffAfter < c.OffBefore {
				nearer++
			}
		}
	}
	n := float64(takes)
	fmt.Printf("\n%d takes: level r %.3f before, %.3f after; %.2f velocities off before, %.2f after; nearer in %.0f percent\n",
		takes, before/n, after/n, offBefore/n, offAfter/n, 100*nearer/n)
	return nil
}
