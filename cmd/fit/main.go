// Command fit fits the habits of players to real players:
//
//	go run ./cmd/fit [-write] FOLDER
//
// FOLDER holds alignments of scores and performances in the open match format, a folder a
// piece, with score.musicxml beside them where there is one. It prints how well each quantity
// agrees with the players of works that were left out of the fit; with -write it writes the
// tables in the packages under expr. The same data give the same tables. "make fit DATA=FOLDER"
// runs it.
package main

import (
	"errors"
	"flag"
	"fmt"
	"os"

	"swellbox/proxy/study/fit"
	"swellbox/proxy/study/players"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintf(os.Stderr, "fit: %v\n", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	flags := flag.NewFlagSet("fit", flag.ContinueOnError)
	write := flags.Bool("write", false, "write the tables into the packages under expr")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if flags.NArg() != 1 || flags.Arg(0) == "" {
		return errors.New("say the folder of alignments to fit to: go run ./cmd/fit FOLDER")
	}
	folders, err := players.Folders(flags.Arg(0))
	if err != nil {
		return err
	}
	corpus := fit.NewCorpus()
	for i, folder := range folders {
		if err := corpus.Add(folder); err != nil && !errors.Is(err, players.ErrShort) {
			fmt.Fprintf(os.Stderr, "fit: left out: %v\n", err)
		}
		if i%20 == 19 {
			fmt.Fprintf(os.Stderr, "fit: %d of %d pieces read\n", i+1, len(folders))
		}
	}
	for _, q := range corpus.Quantities() {
		table, said, err := q.Fit()
		if err != nil {
			return fmt.Errorf("%s: %w", q.Name, err)
		}
		fmt.Printf("%s: %s\n", q.Name, said)
		if *write {
			if err := os.WriteFile(q.File, table, 0o644); err != nil {
				return fmt.Errorf("writing a table, in the project's folder: %w", err)
			}
		}
	}
	return nil
}
