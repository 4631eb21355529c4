package live

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"swellbox/profiles"
	"swellbox/proxy/perform"
)

// BenchmarkReloadStorm measures the latency of BenchmarkLatency's 256 parts while a
// profile that a quarter of them play is saved a thousand times a minute, against
// the same without saves, in blocks of two seconds in turn.
func BenchmarkReloadStorm(b *testing.B) {
	const (
		blocks = 10
		block  = 2000 // messages, one a millisecond
		pause  = time.Minute / 1000
	)
	d, s := tutti(b)
	seating := d.performance.stage.Cast().Seating
	dir := b.TempDir()
	keeper := &profiles.Keeper{}
	reloads := 0
	d.Follow(Documents{Folders: func() []string { return []string{dir} }, Load: func() (*perform.Cast, error) {
		reloads++
		lib, err := profiles.NewLibrary()
		if err != nil {
			return nil, err
		}
		err = keeper.AddFolder(lib, dir, profiles.Origin{Kind: profiles.Own})
		return &perform.Cast{Library: lib, Seating: seating}, err
	}})
	saves := 0
	save := func() {
		saves++
		text := fmt.Sprintf("swellbox: 1\nname: violins\nextends: violins\nbloom: {swell_db: %d.%d}\n", saves%3, saves%10)
		tmp := filepath.Join(dir, "violins.tmp")
		if err := os.WriteFile(tmp, []byte(text), 0o644); err != nil {
			b.Error(err)
		}
		if err := os.Rename(tmp, filepath.Join(dir, "violins.yaml")); err != nil {
			b.Error(err)
		}
	}
	took := map[bool][]time.Duration{}
	msg := make([]byte, 3)
	run := func(storm bool) {
		stop, stopped := make(chan struct{}), make(chan struct{})
		go func() {
			defer close(stopped)
			t := time.NewTicker(pause) // a benchmark of a person who saves
			defer t.Stop()
			for storm {
				select {
				case <-stop:
					return
				case <-t.C:
					save()
				}
			}
		}()
		next := time.Now()
		for i := range block {
			part := i / 2 * 37 % 256
			msg[0], msg[1], msg[2] = 0x80|byte(part%16), byte(60+i/2%24), byte(50+i%60)
			if i%2 == 0 {
				msg[0] |= 0x10
			}
			s.outs[part/16].fed(msg)
			s.ins[part/16](msg)
			next = next.Add(time.Millisecond)
			time.Sleep(time.Until(next)) // a benchmark of music in its time
		}
		close(stop)
		<-stopped
		time.Sleep(100 * time.Millisecond) // the last messages and the last reload come to their end
		for _, o := range s.outs {
			took[storm] = append(took[storm], o.took...)
			o.took = o.took[:0]
		}
	}
	for b.Loop() {
		for range blocks {
			for part := range 256 {
				s.ins[part/16]([]byte{0x90 | byte(part%16), 48, 80})
			}
			run(false)
			run(true)
			d.EndNotes()
		}
	}
	b.ReportMetric(0, "ns/op") // of no meaning here
	if reloads < saves/2 {
		b.Fatalf("%d saves, %d reloads: that is no storm", saves, reloads)
	}
	p99 := func(storm bool) float64 {
		slices.Sort(took[storm])
		return float64(took[storm][len(took[storm])*99/100]) / 1e3
	}
	b.ReportMetric(p99(false), "quiet-p99-µs")
	b.ReportMetric(p99(true), "storm-p99-µs")
	b.ReportMetric(p99(true)/p99(false), "p99-storm/quiet")
	b.ReportMetric(float64(reloads)/float64(saves), "reloads/save")
}

// BenchmarkSaveToSound measures the time from an editor's save, by renaming, to the
// moment at which the profile plays, while 256 parts hold a note.
func BenchmarkSaveToSound(b *testing.B) {
	d, s := tutti(b)
	seating := d.performance.stage.Cast().Seating
	dir := b.TempDir()
	keeper := &profiles.Keeper{}
	taken := make(chan struct{}, 100)
	d.Follow(Documents{
		Folders: func() []string { return []string{dir} },
		Load: func() (*perform.Cast, error) {
			lib, err := profiles.NewLibrary()
			if err != nil {
				return nil, err
			}
			err = keeper.AddFolder(lib, dir, profiles.Origin{Kind: profiles.Own})
			return &perform.Cast{Library: lib, Seating: seating}, err
		},
		Taken: func() { taken <- struct{}{} },
	})
	for part := range 256 {
		s.ins[part/16]([]byte{0x90 | byte(part%16), 48, 80})
	}
	var took []time.Duration
	for i := 0; b.Loop(); i++ {
		text := fmt.Sprintf("swellbox: 1\nname: violins\nextends: violins\nplayers: %d\n", 8+i%9)
		tmp := filepath.Join(dir, "violins.tmp")
		if err := os.WriteFile(tmp, []byte(text), 0o644); err != nil {
			b.Fatal(err)
		}
		start := time.Now()
		if err := os.Rename(tmp, filepath.Join(dir, "violins.yaml")); err != nil {
			b.Fatal(err)
		}
		<-taken
		took = append(took, time.Since(start))
		for len(taken) > 0 {
			<-taken
		}
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2])/1e6, "p50-ms")
	b.ReportMetric(float64(took[len(took)*99/100])/1e6, "p99-ms")
	b.ReportMetric(float64(took[len(took)-1])/1e6, "max-ms")
}
