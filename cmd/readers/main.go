// Command readers holds what swellbox reads of real scores against another reader:
//
//	go run ./cmd/readers [flags] FOLDER…
//
// Each FOLDER holds scores (.musicxml, .mxl). It fetches the other reader, a library of npm, the first
// time. It prints a line a folder and stage, and on the other stream a line for each score that is not
// the same. "make readers DATA=FOLDER" runs it.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"

	"swellbox/proxy/formats/musicxml"
	"swellbox/proxy/study/readers"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1:]); err != nil {
		fmt.Fprintf(os.Stderr, "readers: %v\n", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, args []string) error {
	flags := flag.NewFlagSet("readers", flag.ContinueOnError)
	each := flags.Int("each", 1, "compare only each so `many`th score")
	keep := flags.String("keep", "", "leave what both were given, and what the other made of it, in this `folder`")
	library := flags.String("library", filepath.Join("build", "readers"), "the `folder` into which npm installs the other reader")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if flags.NArg() == 0 {
		return errors.New("say which folders of scores to read")
	}
	other, err := readers.Install(ctx, *library)
	if err != nil {
		return err
	}
	work := *keep
	if work == "" {
		if work, err = os.MkdirTemp("", "readers"); err != nil {
			return err
		}
		defer os.RemoveAll(work)
	}
	fmt.Println("| folder | compared | scores | of which wholly the same | notes | identical | same start and key |")
	fmt.Println("|---|---|---|---|---|---|---|")
	for _, folder := range flags.Args() {
		paths, err := scores(folder, *each)
		if err != nil {
			return err
		}
		for _, stage := range readers.Stages() {
			sum, err := compare(ctx, other, paths, stage, filepath.Join(work, fmt.Sprint(filepath.Base(folder), int(stage))))
			if err != nil {
				return err
			}
			share := func(n int) float64 { return 100 * float64(n) / float64(max(sum.Notes, 1)) }
			fmt.Printf("| %s | %v | %d | %d | %d | %.2f | %.2f |\n", folder, stage, sum.Scores, sum.Whole, sum.Notes, share(sum.Identical), share(sum.Begun))
		}
	}
	return nil
}

// compare compares scores at a stage, and names those that are not the same.
func compare(ctx context.Context, other *readers.Library, paths []string, stage readers.Stage, work string) (sum readers.Count, err error) {
	counts, err := readers.Files(ctx, other, paths, stage, work)
	for i, c := range counts {
		if c.Whole < c.Scores {
			fmt.Fprintf(os.Stderr, "%v: %s: %d of %d identical, %d begin so\n", stage, paths[i], c.Identical, c.Notes, c.Begun)
		}
		sum.Add(c)
	}
	return sum, err
}

// scores are the scores under a folder, or each so manyth of them.
func scores(folder string, each int) (kept []string, err error) {
	paths, err := musicxml.Under(folder)
	for i := 0; i < len(paths); i += max(each, 1) {
		kept = append(kept, paths[i])
	}
	return kept, err
}
