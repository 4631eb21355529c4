package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/proxy/study/lesson"
)

func collectCommand(p *program.Program) *cobra.Command {
	return &cobra.Command{
		Use:   "collect RESULTS...",
		Short: "make a table of a class of the result codes that students handed in",
		Long:  `collect reads texts with the result codes that a lesson shows at the end of its questions, one file each or many codes in one, and makes a table: how many each student had right of each skill and down to which difference, and what share of the class told each. What stands before a code on its line is taken for who it is; without that it is the name of the file. No code holds a name.`,
		Args:  usage.Between(1, mostResults, "at least one file with result codes"),
		RunE:  func(_ *cobra.Command, args []string) error { return collect(p, args) },
	}
}

func collect(p *program.Program, names []string) error {
	var class lesson.Class
	var titles []string
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		results, err := lesson.ReadResults(string(text), strings.TrimSuffix(filepath.Base(name), filepath.Ext(name)))
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		for _, r := range results {
			if !slices.Contains(titles, r.Lesson) {
				titles = append(titles, r.Lesson)
			}
		}
		class.Results = append(class.Results, results...)
	}
	if len(titles) > 1 {
		p.Warn([]string{"the results are of several lessons: " + tell.InWords(titles, "and")})
	}
	if p.Settings.JSON {
		return p.PrintJSON(class)
	}
	return class.Table(p.Out, p.Width())
}

// mostResults is more than any class has.
const mostResults = 10000
