// Command follow measures how soon swellbox finds live music in a score:
//
//	go run ./cmd/follow [flags] FOLDER…
//
// Each FOLDER holds scores (.musicxml, .mxl), and beside them alignments with players in the open
// match format where there are some. It prints a line a folder. "make follow DATA=FOLDER" runs it.
package main

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"

	"swellbox/expr"
	"swellbox/expr/aligning"
	"swellbox/proxy/formats/musicxml"
	"swellbox/proxy/offline"
	"swellbox/proxy/study/follow"
	"swellbox/proxy/study/players"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintf(os.Stderr, "follow: %v\n", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	flags := flag.NewFlagSet("follow", flag.ContinueOnError)
	starts := flags.Int("starts", 10, "play each score from this `number` of places")
	most := flags.Int("scores", 1000, "at most this `number` of scores a folder")
	sure := flags.Float64("sure", 0.9, "a place is told from this `probability` on; the daemon's status tells it from 0.5 on")
	humans := flags.Bool("players", false, "players of the alignments in place of the scores themselves")
	beats := flags.Bool("beats", false, "how well the beat is heard by ear, in place of where the music is")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if flags.NArg() == 0 {
		return errors.New("say which folders of scores to play")
	}
	if *beats {
		return hearBeats(flags.Args(), *most, *humans)
	}
	fmt.Println("| folder | scores | starts | 4 moments | 8 moments | 5 s | wrong | µs a note |")
	fmt.Println("|---|---|---|---|---|---|---|---|")
	for _, folder := range flags.Args() {
		paths, err := someScores(folder, *most)
		if err != nil {
			return err
		}
		var sum follow.Count
		n := 0
		for i, path := range paths {
			rng := rand.New(rand.NewPCG(1, uint64(i)))
			score, _, err := offline.ReadScore(path, nil)
			if err != nil || score == nil {
				fmt.Fprintf(os.Stderr, "%s is left out: %v\n", path, err)
				continue
			}
			n++
			if !*humans {
				sum.Add(follow.Score(score, *starts, *sure, rng))
				continue
			}
			c, err := performances(path, score, *starts, *sure, rng)
			if err != nil {
				fmt.Fprintf(os.Stderr, "%s is left out: %v\n", path, err)
				continue
			}
			sum.Add(c)
		}
		share := func(n int) float64 { return 100 * float64(n) / float64(max(sum.Starts, 1)) }
		fmt.Printf("| %s | %d | %d | %.1f | %.1f | %.1f | %.2f | %.1f |\n", folder, n, sum.Starts, share(sum.Four), share(sum.Eight), share(sum.Five),
			share(sum.Wrong), float64(sum.Nanoseconds)/1000/float64(max(sum.Notes, 1)))
	}
	return nil
}

// someScores are the scores under a folder; of many, as many from everywhere.
func someScores(folder string, most int) ([]string, error) {
	paths, err := musicxml.Under(folder)
	n := len(paths)
	if err != nil || n <= most {
		return paths, err
	}
	kept := make([]string, most)
	for i := range kept {
		kept[i] = paths[i*n/most]
	}
	return kept, nil
}

// playersMost is how many players of a piece are heard.
const playersMost = 3

// performances has the players of a piece come in.
func performances(path string, score *expr.Score, starts int, sure float64, rng *rand.Rand) (sum follow.Count, err error) {
	p, err := players.ReadPiece(filepath.Dir(path), playersMost)
	if err != nil {
		return sum, err
	}
	beats := beatsOf(p, score)
	for i := range p.Takes {
		var live []follow.Live
		for k, n := range p.Notes {
			if s, ok := p.Takes[i].Notes[n.ID]; ok {
				live = append(live, follow.Live{At: time.Duration(s.On * float64(time.Second)), Key: n.Key, Bar: follow.BarOf(score, beats[k])})
			}
		}
		sum.Add(follow.Performance(score, live, starts, sure, rng))
	}
	return sum, nil
}

// beatsOf gives the beat of the score of each note of an alignment, NaN for one that the score does not have.
// The two count beats each from where it begins, and an upbeat, a cadenza or a repeat may be counted otherwise,
// so the notes tell.
func beatsOf(p *players.Piece, score *expr.Score) []float64 {
	const quarter = 0.5 // seconds, any
	unit := 4 / float64(p.Metres[0].Unit)
	take, written := make([]aligning.Note, len(p.Notes)), make([]aligning.Note, len(score.Notes))
	for i, n := range p.Notes {
		take[i] = aligning.Note{At: n.Onset * unit * quarter, Key: n.Key}
	}
	for i := range score.Notes {
		written[i] = aligning.Note{At: score.Notes[i].Beat, Key: score.Notes[i].Key}
	}
	beats := make([]float64, len(p.Notes))
	for i, k := range aligning.Align(written, take) {
		beats[i] = math.NaN()
		if k != aligning.None {
			beats[i] = score.Notes[k].Beat
		}
	}
	return beats
}
