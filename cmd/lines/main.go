// Command lines holds the balance report against orchestral movements whose main line an analyst marked:
//
//	go run ./cmd/lines [flags] FOLDER
//
// FOLDER holds a folder a movement; see the package comment of proxy/study/foreground. It prints tables in
// Markdown, and on the other stream a line a movement. "make lines DATA=FOLDER" runs it.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"strings"

	"swellbox/profiles"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/balance"
	"swellbox/proxy/study/foreground"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1:]); err != nil {
		fmt.Fprintf(os.Stderr, "lines: %v\n", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, args []string) error {
	flags := flag.NewFlagSet("lines", flag.ContinueOnError)
	only := flags.String("only", "", "only folders whose path has this `text`")
	plants := flags.Int("faults", 2, "plant each fault into at most this `number` of passages of a movement")
	if err := flags.Parse(args); err != nil {
		return err
	}
	folders, err := filepath.Glob(filepath.Join(flags.Arg(0), "*", "annotations.csv"))
	if err != nil {
		return err
	}
	if flags.NArg() != 1 || len(folders) == 0 {
		return errors.New("say the folder of movements with annotations.csv: go run ./cmd/lines FOLDER")
	}
	library, err := profiles.NewLibrary()
	if err != nil {
		return err
	}
	t := &table{cast: &perform.Cast{Library: library}, plants: *plants}
	for _, f := range folders {
		if !strings.Contains(f, *only) {
			continue
		}
		if err := t.add(ctx, filepath.Dir(f)); err != nil {
			if ctx.Err() != nil {
				return ctx.Err()
			}
			fmt.Fprintf(os.Stderr, "lines: left out: %v\n", err)
		}
	}
	t.print()
	return nil
}

// table is what was measured of all movements.
type table struct {
	cast   *perform.Cast
	plants int

	doublings      foreground.Doublings
	movements      int
	beats, first   float64
	flat           [balance.States]int
	marked         int // movements with dynamics of their own
	states         [balance.States]int
	bars, warnings int
	trials         []foreground.Trial
}

func (t *table) add(ctx context.Context, folder string) error {
	m, err := foreground.Read(folder)
	if err != nil {
		return err
	}
	d, err := m.Doublings()
	if err != nil {
		return err
	}
	t.doublings.Listed += d.Listed
	t.doublings.Found += d.Found
	t.doublings.Both += d.Both
	t.doublings.Same += d.Same
	f, err := m.Front(ctx, t.cast)
	if err != nil {
		return err
	}
	t.movements++
	t.beats += f.Beats
	t.first += f.First
	for i, n := range f.States {
		t.flat[i] += n
	}
	said := fmt.Sprintf("%s: doublings %d of %d, found %d; beats %.2f, all %.2f", m.Name, d.Both, d.Listed, d.Found, f.Beats, f.First)
	if m.File == nil {
		fmt.Fprintf(os.Stderr, "%s; its score goes another way than the tables\n", said)
		return nil
	}
	r, err := m.Heard(ctx, m.File, t.cast)
	if err != nil {
		return err
	}
	t.marked++
	t.bars += r.Bars
	t.warnings += len(r.Reports[0].Warnings)
	for _, p := range r.Reports[0].Parts {
		for _, b := range p.Bars {
			t.states[b.State]++
		}
	}
	found, planted := 0, 0
	for fault := range foreground.Fault(foreground.Faults) {
		done := 0
		passages := m.Passages()
		for i := 0; i < len(passages) && done < t.plants; i += max(len(passages)/max(t.plants, 1), 1) { // over the whole movement
			trial, ok, err := m.Try(ctx, t.cast, fault, passages[i], r)
			if err != nil {
				return err
			}
			if !ok {
				continue
			}
			done++
			planted++
			if trial.Found {
				found++
			}
			t.trials = append(t.trials, trial)
		}
	}
	fmt.Fprintf(os.Stderr, "%s; %d warnings in %d bars; faults found %d of %d\n", said, len(r.Reports[0].Warnings), r.Bars, found, planted)
	return nil
}

func (t *table) print() {
	share := func(a, b int) float64 { return float64(a) / float64(max(b, 1)) }
	n := float64(max(t.movements, 1))
	fmt.Printf("| %d movements | |\n|---|---|\n", t.movements)
	fmt.Printf("| doublings in unison and octaves: of those listed, found | %.3f |\n", share(t.doublings.Both, t.doublings.Listed))
	fmt.Printf("| of those found, listed | %.3f |\n", share(t.doublings.Both, t.doublings.Found))
	fmt.Printf("| of those found, listed or the same notes throughout | %.3f |\n", share(t.doublings.Both+t.doublings.Same, t.doublings.Found))
	fmt.Printf("| flat dynamics: the main line beats of the other parts | %.3f |\n", t.beats/n)
	fmt.Printf("| and is before all of them in | %.3f |\n", t.first/n)
	fmt.Printf("| warnings per 100 bars, %d movements with their own dynamics | %.2f |\n", t.marked, 100*share(t.warnings, t.bars))
	for _, which := range []struct {
		name   string
		states [balance.States]int
	}{{"flat dynamics", t.flat}, {"their own", t.states}} {
		all := 0
		for _, n := range which.states {
			all += n
		}
		fmt.Printf("\n| part-bars, %s | %% |\n|---|---|\n", which.name)
		for s, n := range which.states {
			fmt.Printf("| %s | %.1f |\n", balance.State(s), 100*share(n, all))
		}
	}
	fmt.Printf("\n| planted | passages | found | area | worth telling | found | area | area, told who leads |\n|---|---|---|---|---|---|---|---|\n")
	var before, told []float64
	for _, x := range t.trials {
		before, told = append(before, x.Before), append(told, x.Told[0])
	}
	for fault := range foreground.Fault(foreground.Faults + 1) {
		var all, worth, toldOf []float64
		found, foundOf := 0, 0
		for _, x := range t.trials {
			if x.Fault != fault && int(fault) != foreground.Faults {
				continue
			}
			all = append(all, x.After)
			if x.Worth {
				worth, toldOf = append(worth, x.After), append(toldOf, x.Told[1])
			}
			if x.Found {
				found++
			}
			if x.Found && x.Worth {
				foundOf++
			}
		}
		name := "all"
		if int(fault) < foreground.Faults {
			name = fault.String()
		}
		fmt.Printf("| %s | %d | %.2f | %.3f | %d | %.2f | %.3f | %.3f |\n", name, len(all), share(found, len(all)), foreground.Above(all, before),
			len(worth), share(foundOf, len(worth)), foreground.Above(worth, before), foreground.Above(toldOf, told))
	}
}
