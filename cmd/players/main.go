// Command players holds swellbox against real players:
//
//	go run ./cmd/players [flags] FOLDER
//
// FOLDER holds alignments of scores and performances in the open match format, a folder a
// piece, with score.musicxml beside them where there is one. It prints tables in Markdown,
// and on the other stream a line a piece. "make players DATA=FOLDER" runs it.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"slices"
	"strings"

	"swellbox/expr/habits"
	"swellbox/profiles"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/players"
)

const published = `no alignments are found here. Corpora in the match format are published for research:
the Vienna 4x22 Piano Corpus, Batik-plays-Mozart (arXiv 2309.02399), and (n)ASAP; see the package
comment of proxy/study/players`

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1:]); err != nil {
		fmt.Fprintf(os.Stderr, "players: %v\n", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, args []string) error {
	flags := flag.NewFlagSet("players", flag.ContinueOnError)
	only := flags.String("only", "", "only folders whose path has this `text`")
	most := flags.Int("players", 99, "at most this `number` of players a piece")
	rubato := flags.Float64("rubato", 1, "how much the tempo breathes, an `amount` of 0 to 2")
	draw := flags.String("draw", "", "`folder` to draw each piece's curves into, ours over three players', the score known")
	habits := flags.Bool("habits", false, "also what each habit does alone, and all but it, the score known")
	learnt := flags.Int("learn", 0, "in place of the tables: learn from half of a piece and judge on the other, for at most this `number` of takes a piece")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if flags.NArg() != 1 || flags.Arg(0) == "" {
		return errors.New(published)
	}
	folders, err := players.Folders(flags.Arg(0))
	if err != nil {
		return err
	}
	if len(folders) == 0 {
		return errors.New(published)
	}
	library, err := profiles.NewLibrary()
	if err != nil {
		return err
	}
	study := &players.Study{Cast: &perform.Cast{Library: library}, Conditions: players.Grades(*rubato), Pictures: *draw}
	if *habits {
		known := study.Conditions[len(study.Conditions)-1]
		study.Conditions = append(players.Habits(known, habitNames()), study.Conditions...)
	}
	folders = slices.DeleteFunc(folders, func(f string) bool { return !strings.Contains(f, *only) })
	if *learnt > 0 {
		return checkLearning(ctx, library, folders, *learnt)
	}
	for _, folder := range folders {
		if err := study.Add(ctx, folder, *most); err != nil {
			return err
		}
		last := study.Conditions[len(study.Conditions)-1].Name
		if rows := study.Rows[last]; len(rows) > 0 {
			r := rows[len(rows)-1]
			fmt.Fprintf(os.Stderr, "%-50s %5d notes %2d players", r.Piece, r.Notes, r.Players)
			for k, kind := range players.Kinds {
				fmt.Fprintf(os.Stderr, "  %s %5.2f /%5.2f", kind, r.Ours[k], r.Theirs[k])
			}
			fmt.Fprintln(os.Stderr)
		}
	}
	for _, err := range study.Failed {
		fmt.Fprintf(os.Stderr, "players: not measured: %v\n", err)
	}
	return study.Write(os.Stdout)
}

func habitNames() (names []string) {
	for _, h := range habits.Usual() {
		names = append(names, h.About().Flag())
	}
	return names
}
