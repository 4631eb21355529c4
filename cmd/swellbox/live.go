package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"swellbox/cmd/swellbox/profile"
	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/proxy/control"
	"swellbox/proxy/live"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/ports"
	"swellbox/proxy/ports/silent"
)

// portFlags are the flags that say which ports to open.
type portFlags struct {
	inputs, outputs int
	ins, outs       []string
	locked          string
	match, raw      bool
	score           string // file to look for what comes in; empty: none
	known           string // what --score says of a file that is played; empty: nothing is played from one
	ornaments       offline.Ornaments
	piece           *expr.Score // of what is played, where a MusicXML score is played
	named           string      // file whose name the status says of it
	page            pageFlags
	record          string // file to record to; empty: nothing is recorded
	// empty says which seats nothing that is played can take.
	empty func(*profiles.Seating) []string
}

// compareFlags declares the flags of what is compared, and at which level.
func compareFlags(f *pflag.FlagSet, pt *portFlags) {
	f.BoolVar(&pt.raw, "raw", false, "start with all parts raw")
	f.BoolVar(&pt.match, "match", false, "lower the raw side by as much as it is louder (by ITU-R BS.1770, modelled over what was played), to compare at one level")
}

// lockedFlag declares the flag that fixes the profiles.
func lockedFlag(f *pflag.FlagSet, to *string) {
	f.StringVar(to, "locked", "", "play by this lock `file` and no other profiles (see swellbox profile lock)")
}

func liveCommand(p *program.Program) *cobra.Command {
	var pt portFlags
	c := &cobra.Command{
		Use:   "live",
		Short: "stand between the notation program and the sampler",
		Long: `live opens virtual MIDI ports, or existing ones by name, and plays what comes in on
input 1 through output 1, and so on, until it is ended by Ctrl-C.

In the notation program choose "swellbox in 1" as playback device; in the sampler choose "swellbox out 1" as MIDI input, one instrument a channel. Switch the notation program's own expressive playback off. Start with the monitors turned down.

With --score the piece is known: export it from the notation program, and wherever it is
played from, its notes are found and played by one who knows what follows. Export it again
whenever you like: the new score is taken at once, and the music goes on. With
--lookahead all sounds later instead, so that what follows has been heard.

Windows has no virtual ports: install a virtual MIDI cable, and name its ends
with --in and --out.`,
		Args: usage.Exactly(0, "no argument"),
		RunE: func(c *cobra.Command, _ []string) error {
			if err := pt.check(); err != nil {
				return err
			}
			pt.named = pt.score
			pt.empty = func(s *profiles.Seating) []string { return s.Unheard(len(pt.inputSpecs())) }
			d, stop, err := start(p, pt.inputSpecs(), pt.outputSpecs(), &pt)
			if err != nil {
				return err
			}
			p.Endless.Store(true)
			printConsole(p, &pt)
			printPorts(p, d.Status())
			<-c.Context().Done()
			return stop()
		},
	}
	f := c.Flags()
	f.IntVar(&pt.inputs, "inputs", 1, "how many virtual inputs of 16 channels, 1 to 64")
	f.IntVar(&pt.outputs, "outputs", 0, "how many virtual outputs (default: as many as inputs)")
	f.StringArrayVar(&pt.ins, "in", nil, "existing `port` to listen to, in place of virtual inputs (may be repeated)")
	f.StringArrayVar(&pt.outs, "out", nil, "existing `port` to play to, in place of virtual outputs (may be repeated)")
	f.StringVar(&pt.score, "score", "", "score of the piece, a `file` that the notation program exports (.mid, .musicxml, .mxl): what comes in is found in it")
	f.StringVar(&pt.record, "record", "", "new `file` to record to what comes in, and who plays: swellbox replay plays it again; it holds the notes of the piece and your own profiles")
	compareFlags(f, &pt)
	consoleFlags(f, &pt)
	settings.AddTiming(f)
	settings.AddHabits(f)
	lockedFlag(f, &pt.locked)
	return c
}

// maxVirtual bounds the number of virtual ports: the sequencers of the systems have
// room for about as many.
const maxVirtual = 64

func (pt *portFlags) check() error {
	if pt.inputs < 1 || pt.inputs > maxVirtual {
		return fmt.Errorf("--inputs is %d; it can be 1 to %d: %w", pt.inputs, maxVirtual, usage.ErrUsage)
	}
	if pt.outputs < 0 || pt.outputs > maxVirtual {
		return fmt.Errorf("--outputs is %d; it can be 1 to %d: %w", pt.outputs, maxVirtual, usage.ErrUsage)
	}
	if ins, outs := len(pt.inputSpecs()), len(pt.outputSpecs()); ins > outs {
		return fmt.Errorf("%s need as many outputs, found %d; each is heard on the output of its number: %w", tell.Counted(ins, "input"), outs, usage.ErrUsage)
	}
	return nil
}

func (pt *portFlags) inputSpecs() []live.PortSpec { return specs(pt.ins, pt.inputs, "swellbox in") }

func (pt *portFlags) outputSpecs() []live.PortSpec {
	n := pt.outputs
	if n == 0 {
		n = max(len(pt.inputSpecs()), 1)
	}
	return specs(pt.outs, n, "swellbox out")
}

// specs asks for the named ports, or for n virtual ones.
func specs(names []string, n int, virtual string) []live.PortSpec {
	var s []live.PortSpec
	for _, name := range names {
		s = append(s, live.PortSpec{Name: name})
	}
	for i := len(s); i < n && len(names) == 0 && i < maxVirtual; i++ {
		s = append(s, live.PortSpec{Name: fmt.Sprintf("%s %d", virtual, i+1), Virtual: true})
	}
	return s
}

// start opens a daemon with its control socket, which plays by the settings' profiles
// and follows their changes, or by a lock and nothing else. stop ends both.
func start(p *program.Program, ins, outs []live.PortSpec, pt *portFlags) (d *live.Daemon, stop func() error, err error) {
	if pt.locked == "" {
		p.SeatBeside(pt.named)
	}
	cast, unread, err := liveCast(p, pt.locked)
	if err != nil {
		return nil, nil, err
	}
	path, err := p.Settings.ControlPath()
	if err != nil {
		return nil, nil, err
	}
	score, err := readScore(p, pt.score, cast)
	if err != nil {
		return nil, nil, err
	}
	manner := p.Settings.Manner()
	if pt.page.manner != nil {
		manner = *pt.page.manner
	}
	manner.Piece = pt.piece
	if pt.known != "" {
		if err := takeScore(p, &manner, pt.known); err != nil {
			return nil, nil, err
		}
	}
	var system ports.System = silent.System{}
	if !pt.page.simulated {
		system = p.System()
	}
	recorder, err := beginRecording(pt.record)
	if err != nil {
		return nil, nil, errors.Join(err, system.Close())
	}
	d, err = live.NewDaemon(live.Config{
		System: system, Cast: cast, Inputs: ins, Outputs: outs, Foot: p.Settings.Foot(), Speed: p.Settings.CableSpeed, Match: pt.match, Log: p.Logger(p.Settings.Log),
		Manner: manner, Score: score, ScoreName: filepath.Base(pt.named), Record: recorder, Program: versionOf(),
	})
	if err != nil {
		dropRecording(recorder, pt.record)
		return nil, nil, errors.Join(err, system.Close())
	}
	if pt.raw {
		err = d.Switch(expr.Raw, nil)
	}
	var server *control.Server
	if err == nil {
		server, err = control.Serve(path, d)
	}
	if err == nil {
		if err = serveConsole(p, d, pt, cast, path); err != nil {
			err = errors.Join(err, server.Close())
		}
	}
	if err != nil {
		err = errors.Join(err, d.Close(), system.Close())
		dropRecording(recorder, pt.record)
		return nil, nil, err
	}
	if pt.locked != "" {
		p.Warn(pt.empty(cast.Seating))
	} else {
		remark := func(c *perform.Cast) []string { return append(program.RenamedInCast(c), pt.empty(c.Seating)...) }
		d.Told(unread, remark(cast))
		adopt := profile.Adopting(&p.Settings, p.Logger(p.Settings.Log))
		adopt()
		d.Follow(live.Documents{Folders: p.Settings.Watched, Load: pt.page.over(p.Settings.PlayableCast), Remark: remark, Taken: adopt})
	}
	followScore(d, pt.score, cast)
	return d, func() error {
		return errors.Join(pt.page.close(), server.Close(), d.Close(), endRecording(recorder), system.Close())
	}, nil
}

// readScore reads the score at path, if one is named.
func readScore(p *program.Program, path string, cast *perform.Cast) (*expr.Score, error) {
	if path == "" {
		return nil, nil
	}
	score, warnings, err := offline.ReadScore(path, cast)
	if err != nil {
		return nil, err
	}
	p.Warn(warnings)
	return score, nil
}

// followScore has a running daemon play on by a score whenever it is exported anew.
func followScore(d *live.Daemon, path string, cast *perform.Cast) {
	if path == "" {
		return
	}
	live.FollowScore(d, live.ScoreFile{Path: path, Read: func() (*expr.Score, []string, error) { return offline.ReadScore(path, cast) }})
}

// liveCast is the cast to begin with. What could not be read, but is no reason not to
// play, is unread.
func liveCast(p *program.Program, locked string) (cast *perform.Cast, unread, err error) {
	if locked != "" {
		cast, err = p.LockedCast(locked)
		return cast, nil, err
	}
	cast, unread = p.Settings.PlayableCast()
	if cast == nil || cast.Library == nil {
		return nil, nil, unread
	}
	return cast, unread, nil
}

func printPorts(p *program.Program, s live.Status) {
	for i, in := range s.Inputs {
		p.Sayf("input %d:  %s", i+1, in.Name)
	}
	for i, out := range s.Outputs {
		p.Sayf("output %d: %s", i+1, out.Name)
	}
	p.Sayf("playing; swellbox switch raw or shaped compares, Ctrl-C ends")
}

func playCommand(p *program.Program) *cobra.Command {
	var pt portFlags
	var bars, known string
	var ornaments ornamentFlags
	c := &cobra.Command{
		Use:   "play RAW.mid|PIECE.musicxml",
		Short: "play a file through the engine to the sampler",
		Long: `play sends a file to a port in real time, shaped, so that raw and shaped can be compared on your own sampler: swellbox switch raw|shaped while it plays.

Without --out it opens a virtual output; choose it in the sampler, then play again or use --loop. Start with the monitors turned down.`,
		Args: usage.Exactly(1, "one MIDI file or score"),
		RunE: func(c *cobra.Command, args []string) error {
			loop, err := parseLoop(bars)
			if err != nil {
				return err
			}
			if pt.ornaments, err = ornaments.take(); err != nil {
				return err
			}
			pt.known = known
			pt.named = args[0]
			return play(c.Context(), p, args[0], pt, loop)
		},
	}
	f := c.Flags()
	f.StringArrayVar(&pt.outs, "out", nil, "existing `port` to play to, in place of a virtual output (may be repeated)")
	f.StringVar(&bars, "loop", "", "`bars` to play over and over, such as 5-8")
	compareFlags(f, &pt)
	consoleFlags(f, &pt)
	addOwnScore(f, &known)
	addOrnaments(f, &ornaments)
	settings.AddTiming(f)
	settings.AddHabits(f)
	lockedFlag(f, &pt.locked)
	return c
}

func parseLoop(bars string) (live.Loop, error) {
	if bars == "" {
		return live.Loop{}, nil
	}
	l, err := control.ParseLoop(bars)
	if err != nil {
		return l, fmt.Errorf("--loop is %q; give a first and a last bar, such as 5-8: %w", bars, usage.ErrUsage)
	}
	return l, nil
}

func play(ctx context.Context, p *program.Program, path string, pt portFlags, loop live.Loop) error {
	file, piece, err := offline.ReadPiece(path, pt.ornaments)
	if err != nil {
		return err
	}
	pt.piece = piece
	p.Warn(file.Warnings)
	if file.Format == 2 && len(file.Tracks) > 1 {
		fmt.Fprintf(p.Err, "swellbox: %s holds %d independent pieces; the first is played\n", path, len(file.Tracks))
	}
	timeline, err := offline.NewTimeline(file, 0)
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return playTimeline(ctx, p, timeline, &pt, loop)
}

// playTimeline plays what was read, over and over where there is a loop.
func playTimeline(ctx context.Context, p *program.Program, timeline *offline.Timeline, pt *portFlags, loop live.Loop) error {
	pt.outputs = timeline.Ports
	pt.empty = func(s *profiles.Seating) []string { return offline.EmptySeats(s, timeline) }
	d, stop, err := start(p, nil, pt.outputSpecs(), pt)
	if err != nil {
		return err
	}
	player, err := live.NewPlayer(d, timeline, loop)
	p.Endless.Store(loop != live.Loop{})
	if err == nil {
		status := d.Status()
		printParts(p, status.Parts)
		if !pt.page.simulated { // a built-in score needs no seating
			doubt(p, pt.named, status.Doubts())
		}
		printConsole(p, pt)
		printPorts(p, d.Status())
		err = player.Play(ctx)
	}
	if (p.Endless.Load() || player != nil && player.Looping()) && errors.Is(err, context.Canceled) {
		err = nil // Ctrl-C is how a loop is meant to end
	}
	return errors.Join(err, stop())
}
