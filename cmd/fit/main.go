// Command fit fits the habits of players to real players:
//
//	go run ./cmd/fit [-write] [-only QUANTITY] [-orchestra FOLDER] [FOLDER]
//
// FOLDER holds alignments of scores and performances in the open match format, a folder a
// piece, with score.musicxml beside them where there is one. It prints how well each quantity
// agrees with the players of works that were left out of the fit; with -write it writes the
// tables in the packages under expr. The same data give the same tables. "make fit DATA=FOLDER"
// runs it.
package main

import (
	"cmp"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"runtime"

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
	only := flags.String("only", "", "fit only the `quantity` of this name")
	orchestra := flags.String("orchestra", "", "also a `folder` of orchestral movements: score.csv and alignment.csv in a folder each")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if flags.NArg() > 1 || flags.Arg(0) == "" && *orchestra == "" {
		return errors.New("say the folder of alignments to fit to: go run ./cmd/fit FOLDER")
	}
	var folders []string
	if flags.Arg(0) != "" {
		var err error
		if folders, err = players.Folders(flags.Arg(0)); err != nil {
			return err
		}
	}
	corpus := fit.NewCorpus()
	for i, read := range ahead(folders) {
		switch r := <-read; {
		case r.err == nil:
			corpus.Add(r.piece)
		case !errors.Is(r.err, players.ErrShort):
			fmt.Fprintf(os.Stderr, "fit: left out: %v\n", r.err)
		}
		if i%20 == 19 {
			fmt.Fprintf(os.Stderr, "fit: %d of %d pieces read\n", i+1, len(folders))
		}
	}
	movements, err := filepath.Glob(filepath.Join(cmp.Or(*orchestra, "nowhere"), "*", "alignment.csv"))
	if err != nil {
		return err
	}
	for _, m := range movements {
		if err := corpus.AddRecorded(filepath.Dir(m)); err != nil {
			fmt.Fprintf(os.Stderr, "fit: left out: %v\n", err)
		}
	}
	for _, q := range corpus.Quantities() {
		if *only != "" && q.Name != *only {
			continue
		}
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

// outcome is what came of reading a folder.
type outcome struct {
	piece *fit.Piece
	err   error
}

// ahead reads folders, a few at a time, and gives what came of each in their order.
func ahead(folders []string) []chan outcome {
	all, free := make([]chan outcome, len(folders)), make(chan struct{}, 2*runtime.GOMAXPROCS(0))
	for i := range all {
		all[i] = make(chan outcome, 1)
	}
	go func() {
		for i, folder := range folders {
			free <- struct{}{}
			go func() {
				defer func() { <-free }()
				p, err := fit.Read(folder)
				all[i] <- outcome{p, err}
			}()
		}
	}()
	return all
}
