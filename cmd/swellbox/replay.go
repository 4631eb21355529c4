package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/expr"
	"swellbox/proxy/formats/recording"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/live"
)

// replayFlags say what is to come of a recording.
type replayFlags struct {
	out      string
	received bool
	list     bool
}

func replayCommand(p *program.Program) *cobra.Command {
	var f replayFlags
	c := &cobra.Command{
		Use:   "replay FILE",
		Short: "play a recording of live again, to the byte",
		Long: `replay does again what swellbox live --record FILE did, without any port and as fast as it
can: the same messages at the same times, by the profiles, the seating and the score that
the recording holds. So a recording is all that a report of a fault needs, and what was
played can be written to a MIDI file afterwards: -o FILE.mid as it was sent to the
sampler, or with --received as it came in, to render it.

What reached the sampler may have been less: what no port took, and what --cable-speed
thinned, is here as well. Another version of swellbox may play otherwise; it says so.`,
		Args: usage.Exactly(1, "one recording"),
		RunE: func(c *cobra.Command, args []string) error { return replay(c.Context(), p, args[0], &f) },
	}
	c.Flags().StringVarP(&f.out, "out", "o", "", "MIDI `file` to write")
	c.Flags().BoolVar(&f.received, "received", false, "write or list what came in, in place of what was sent")
	c.Flags().BoolVar(&f.list, "list", false, "print every message: seconds since the start, port, bytes")
	return c
}

func replay(ctx context.Context, p *program.Program, path string, f *replayFlags) error {
	if f.out != "" && settings.Same(path, f.out) {
		return fmt.Errorf("%s would be overwritten; give -o another name", path)
	}
	r, err := recording.ReadFile(path)
	if err != nil {
		return err
	}
	sent := newTracks()
	found, err := live.Replay(ctx, r, sent.add)
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	warnOfReplay(p, found)
	chosen := sent
	if f.received {
		chosen = received(r)
	}
	if f.list {
		return chosen.list(p.Out)
	}
	if f.out != "" {
		if err := smf.WriteFile(f.out, chosen.file()); err != nil {
			return err
		}
	}
	if p.Settings.JSON {
		return p.PrintJSON(told(found, sent.count))
	}
	for _, part := range found.Parts {
		p.Sayf("%s played as %s: %s", part.Name, part.Profile, part.Why)
	}
	p.Sayf("%s came in, %s went out, in %v", tell.Counted(found.Messages, "message"), tell.Counted(sent.count, "message"), found.End.Round(time.Millisecond))
	if f.out != "" {
		p.Sayf("written: %s", f.out)
	}
	return nil
}

// warnOfReplay says where a replay may not be what was played.
func warnOfReplay(p *program.Program, found *live.Replayed) {
	var words []string
	if now := versionOf(); found.Program != now {
		words = append(words, fmt.Sprintf("it was recorded by swellbox %s, and this is %s: what it plays may differ", found.Program, now))
	}
	if found.Cut {
		words = append(words, "the recording ends before swellbox live did, which was killed or could not write; it is replayed as far as it goes")
	}
	if found.Missing > 0 {
		words = append(words, fmt.Sprintf("%s could not be recorded, so what follows them may differ", tell.Counted(int(found.Missing), "message")))
	}
	p.Warn(words)
}

// versionOf is the version as a recording has it.
func versionOf() string { return program.Build().Version }

// replayed is what --json prints.
type replayed struct {
	Program  string   `json:"program"`
	Messages int      `json:"messages"`
	Sent     int      `json:"sent"`
	Missing  uint64   `json:"missing"`
	Cut      bool     `json:"cut"`
	Seconds  float64  `json:"seconds"`
	Parts    []string `json:"parts"`
}

func told(found *live.Replayed, sent int) *replayed {
	r := &replayed{found.Program, found.Messages, sent, found.Missing, found.Cut, found.End.Seconds(), []string{}}
	for _, part := range found.Parts {
		r.Parts = append(r.Parts, part.Name)
	}
	return r
}

// tracks are messages with their times, of each port.
type tracks struct {
	ports map[uint16][]expr.Event
	count int
}

func newTracks() *tracks { return &tracks{ports: map[uint16][]expr.Event{}} }

// add keeps a copy of a message.
func (t *tracks) add(e *expr.Event) {
	own := *e
	own.Data = slices.Clone(e.Data)
	t.ports[e.Port] = append(t.ports[e.Port], own)
	t.count++
}

// received is what came in.
func received(r *recording.Recording) *tracks {
	t := newTracks()
	for i := range r.Records {
		rec := &r.Records[i]
		if rec.Kind == recording.Message && len(rec.Bytes) > 0 {
			t.add(&expr.Event{At: rec.At, Port: rec.Port, Data: rec.Bytes})
		}
	}
	return t
}

// A tick is a tenth of a millisecond, at the tempo that holds where none is said (120 a minute).
const (
	replayedTick      = 100 * time.Microsecond
	replayedDivision  = int(time.Second / 2 / replayedTick)
	firstSystemStatus = 0xF0
)

// file is a track for each port, in time that is never tempo.
func (t *tracks) file() *smf.File {
	f := &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: replayedDivision}}
	for _, port := range t.sorted() {
		track := smf.Track{Events: []smf.Event{{Data: []byte{0xFF, smf.MetaPort, byte(port)}}}}
		for i := range t.ports[port] {
			e := &t.ports[port][i]
			b := e.Bytes()
			if b[0] > firstSystemStatus { // files hold these escaped only (Standard MIDI Files 1.0)
				b = append([]byte{0xF7}, b...)
			}
			track.End = int64((e.At + replayedTick/2) / replayedTick)
			track.Events = append(track.Events, smf.Event{Tick: track.End, Data: b})
		}
		f.Tracks = append(f.Tracks, track)
	}
	return f
}

func (t *tracks) sorted() []uint16 {
	var ports []uint16
	for port := range t.ports {
		ports = append(ports, port)
	}
	slices.Sort(ports)
	return ports
}

// list prints every message, port by port.
func (t *tracks) list(to io.Writer) error {
	w := bufio.NewWriter(to)
	for _, port := range t.sorted() {
		for i := range t.ports[port] {
			e := &t.ports[port][i]
			fmt.Fprintf(w, "%.9f %d % X\n", e.At.Seconds(), port+1, e.Bytes())
		}
	}
	return w.Flush()
}

// beginRecording begins a recording, if one is asked for.
func beginRecording(path string) (*recording.Writer, error) {
	if path == "" {
		return nil, nil
	}
	return recording.Create(path)
}

// endRecording ends one.
func endRecording(w *recording.Writer) error {
	if w == nil {
		return nil
	}
	return w.Close()
}

// dropRecording removes one of a run that never began.
func dropRecording(w *recording.Writer, path string) {
	if w != nil {
		_ = w.Close()
		os.Remove(path)
	}
}
