package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/expr"
	"swellbox/profiles/atomicfile"
	"swellbox/profiles/draw"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/layout"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/audition"
	"swellbox/proxy/study/balance"
	"swellbox/proxy/study/demo"
)

func demoCommand(p *program.Program) *cobra.Command {
	var o demoOptions
	c := &cobra.Command{
		Use:   "demo [RAW.mid|PIECE.musicxml]",
		Short: "shape a built-in score, or a piece of yours, and write both performances, as MIDI and as sound",
		Long: `demo takes a short score for full orchestra as a notation program would play it, shapes it, and writes both into a folder: raw.mid and shaped.mid, raw.wav and shaped.wav, pictures of what changed and of what moves, and the report of who is heard in a hall. No device is needed. With --each-habit it also writes what every habit does by itself into the folder habits there, with a text that says what to listen for.

A piece of your own of at most 20 minutes, a MIDI file or a MusicXML score, takes the place of the built-in score.

The sound is a small synthesiser's that exists for this demonstration only; it stands for your sampler, and does not try to be one. Start quiet.`,
		Args: usage.Between(0, 1, "at most one MIDI file or score"),
		RunE: func(c *cobra.Command, args []string) error {
			piece, cast, err := demoPiece(p, o.dir, args)
			if err != nil {
				return err
			}
			for _, name := range o.parts {
				if known := partsOf(piece); !slices.Contains(known, name) {
					return fmt.Errorf("there is no part %s in the score; its parts are %s: %w", name, tell.InWords(known, "and"), usage.ErrUsage)
				}
			}
			return demonstrate(c.Context(), p, piece, cast, o)
		},
	}
	c.Flags().StringVarP(&o.dir, "out", "o", "demo", "`folder` to write into; it is made if need be")
	c.Flags().StringArrayVar(&o.parts, "part", nil, "draw only the part of this `name` in the pictures (may be repeated)")
	c.Flags().BoolVar(&o.trueGains, "true-gains", false, "write both sounds at one gain, as loud to each other as they were played, in place of equally loud")
	c.Flags().BoolVar(&o.eachHabit, "each-habit", false, "also write each habit alone, as MIDI and as sound")
	c.Flags().BoolVar(&o.details, "details", false, "also say how many notes each habit shaped, and what each does by itself")
	return c
}

// demoOptions are the flags of the command.
type demoOptions struct {
	dir                string
	parts              []string // to draw; nil for all
	trueGains          bool
	eachHabit, details bool
}

// performance is one side of the demonstration.
type performance struct {
	name     string
	timeline *offline.Timeline
	take     *audition.Take
}

func demonstrate(ctx context.Context, p *program.Program, piece *demo.Piece, cast *perform.Cast, o demoOptions) error {
	dir := o.dir
	start := time.Now()
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("the folder for the demo cannot be made: %w", err)
	}
	alone := o.eachHabit || o.details // what each habit does is asked for
	performances := demo.Together
	if alone {
		performances = demo.EachHabit
	}
	solos, err := performances(ctx, piece, cast)
	if err != nil {
		return err
	}
	score, all := solos[0].File, solos[len(solos)-1]
	parts, err := demo.Played(all.Report, cast)
	if err != nil {
		return err
	}
	raw, shaped, err := performBoth(ctx, p, o, score, all.File, parts)
	if err != nil {
		return err
	}
	ensemble := cast.Ensemble()
	views, rows := demo.Compare(raw.timeline, shaped.timeline, parts, ensemble.HeadroomDB)
	if err := drawDemo(dir, piece, views, o.parts); err != nil {
		return err
	}
	var effects []demo.Effect
	if alone {
		if effects, err = demo.Effects(solos, parts, ensemble.HeadroomDB); err != nil {
			return err
		}
	}
	if o.eachHabit {
		if err := writeHabits(ctx, p, filepath.Join(dir, "habits"), piece, solos, effects, parts); err != nil {
			return err
		}
	}
	worst, err := writeBalance(ctx, dir, score, cast)
	if err != nil {
		return err
	}
	if err := drawTrumpet(p, dir, cast); err != nil {
		return err
	}
	return printDemo(p, &demonstrated{
		title: piece.Title, dir: dir, report: all.Report, rows: rows, effects: effects, worst: worst, headroom: ensemble.HeadroomDB,
		trueGains: o.trueGains, took: time.Since(start), habits: o.eachHabit, details: o.details,
	})
}

// performBoth writes both sides as files, and as sound: equally loud, or at one gain.
func performBoth(ctx context.Context, p *program.Program, o demoOptions, score, shapedFile *smf.File, parts []demo.Compared) (raw, shaped *performance, err error) {
	if raw, err = open("raw", score); err != nil {
		return nil, nil, err
	}
	if shaped, err = open("shaped", shapedFile); err != nil {
		return nil, nil, err
	}
	if err := writeSound(ctx, p, o.dir, o.trueGains, parts, raw, shaped); err != nil {
		return nil, nil, err
	}
	if err := smf.WriteFile(filepath.Join(o.dir, "raw.mid"), score); err != nil {
		return nil, nil, err
	}
	return raw, shaped, smf.WriteFile(filepath.Join(o.dir, "shaped.mid"), shapedFile)
}

// writeSound writes performances as sound: equally loud, or at one gain.
func writeSound(ctx context.Context, p *program.Program, dir string, oneGain bool, parts []demo.Compared, sides ...*performance) error {
	var length time.Duration
	for _, side := range sides {
		length = max(length, side.timeline.End+tail)
	}
	takes := make([]*audition.Take, len(sides))
	for i, side := range sides {
		var err error
		if side.take, err = playSide(ctx, p, side.name, demo.Seats(parts), side.timeline.Events, length); err != nil {
			return err
		}
		takes[i] = side.take
	}
	gains := audition.TrueGains(takes...)
	if !oneGain {
		var err error
		if gains, err = audition.MatchedGains(takes...); err != nil {
			return err
		}
	}
	for i, side := range sides {
		if err := writeWAV(filepath.Join(dir, side.name+".wav"), takes[i], gains[i]); err != nil {
			return err
		}
	}
	return nil
}

// playSide plays one of those that are compared on the demonstration synthesiser, and shows how far it is.
func playSide(ctx context.Context, p *program.Program, name string, parts []audition.Part, events []expr.Event, length time.Duration) (take *audition.Take, err error) {
	show, done := p.Progress("playing " + name)
	defer func() { done(err) }()
	return audition.Render(ctx, parts, events, length, show)
}

// open makes a performance of a file, without its sound.
func open(name string, f *smf.File) (*performance, error) {
	t, err := offline.NewTimeline(f, 0)
	return &performance{name: name, timeline: t}, err
}

// drawDemo draws what changed and what moves, of the named parts, or of all if none is named.
func drawDemo(dir string, piece *demo.Piece, views []demo.PartView, drawn []string) error {
	tempo := demo.Tempo(views, piece.Bars, piece.End)
	view := demo.View{Title: piece.Title, Bars: piece.Bars, End: piece.End, Tempo: tempo, Parts: chosen(views, drawn)}
	for name, picture := range map[string]func(io.Writer, demo.View) error{
		"before-after.svg": demo.Picture, "curves.svg": demo.Curves,
	} {
		err := atomicfile.Write(filepath.Join(dir, name), func(w io.Writer) error { return picture(w, view) })
		if err != nil {
			return err
		}
	}
	return nil
}

// writeBalance writes the report of who is heard, and gives the most serious warning of
// the hall in words.
func writeBalance(ctx context.Context, dir string, score *smf.File, cast *perform.Cast) (worst string, err error) {
	result, err := balance.Analyse(ctx, score, cast, balance.DefaultOptions())
	if err != nil {
		return "", err
	}
	if w := result.Reports[0].Warnings; len(w) > 0 {
		worst = w[0].Text
	}
	return worst, atomicfile.Write(filepath.Join(dir, "balance.html"), result.HTML)
}

// drawTrumpet draws what a profile is, of the instrument whose weight is most heard.
func drawTrumpet(p *program.Program, dir string, cast *perform.Cast) error {
	profile, err := cast.Library.Resolve("trumpet")
	if err != nil {
		return err
	}
	return atomicfile.Write(filepath.Join(dir, "trumpet.svg"), func(w io.Writer) error { return draw.SVG(w, profile) })
}

// chosen are the rows of the named parts, in score order; all if none is named.
func chosen(views []demo.PartView, names []string) []demo.PartView {
	if len(names) == 0 {
		return views
	}
	return slices.DeleteFunc(views, func(v demo.PartView) bool { return !slices.Contains(names, v.Name) })
}

// demonstrated is what the demonstration has to say when it is done.
type demonstrated struct {
	title     string
	dir       string
	report    *offline.Report
	rows      []demo.Row
	effects   []demo.Effect
	worst     string // the most serious warning in a hall; empty for none
	trueGains bool
	headroom  float64
	took      time.Duration
	habits    bool // each habit was written, too
	details   bool
}

// printDemo says what changed, and what to do now.
func printDemo(p *program.Program, d *demonstrated) error {
	if p.Settings.JSON {
		return p.PrintJSON(d.report)
	}
	width := p.Width()
	p.Warn(d.report.Warnings)
	fmt.Fprintf(p.Out, "%s: what the players changed\n\n", d.title)
	if err := demo.Table(p.Out, d.rows, width); err != nil {
		return err
	}
	if d.details {
		fmt.Fprintln(p.Out)
		if err := demo.HabitTable(p.Out, d.rows, width); err != nil {
			return err
		}
		fmt.Fprintln(p.Out)
		if err := demo.EffectTable(p.Out, d.effects, width); err != nil {
			return err
		}
	}
	var b strings.Builder
	fmt.Fprintf(&b, "\nEach level is told against the mf of its own performance; shaped as a whole lies %g dB under raw, so that brass and swells have room. %s\n", d.headroom, d.gains())
	if d.worst != "" {
		fmt.Fprintf(&b, "\nMost serious in a hall, as the score is written:\n  %s\nIt is a model, not a rehearsal.\n", d.worst)
	}
	fmt.Fprintf(&b, demoFiles, d.dir, d.took.Seconds())
	if d.habits {
		b.WriteString("  habits/               each habit alone, and what to listen for: start with habits/listen.txt\n")
	}
	first, second := filepath.Join(d.dir, "raw.wav"), filepath.Join(d.dir, "shaped.wav")
	fmt.Fprintf(&b, demoNext, utf8.RuneCountInString(second), first, second, filepath.Join(d.dir, "raw.mid"))
	_, err := fmt.Fprintln(p.Out, layout.Text(strings.TrimSuffix(b.String(), "\n"), width))
	return err
}

// gains says how loud the two sounds are to each other.
func (d *demonstrated) gains() string {
	if d.trueGains {
		return "Both sounds are written at one gain, so raw is the louder one: mind that louder passes for better."
	}
	return "Both sounds are written equally loud (by ITU-R BS.1770), as louder passes for better; --true-gains leaves them as they were played."
}

// demoFiles takes the folder, and how many seconds it took.
const demoFiles = `
Written to %s in %.1f s:
  raw.mid, shaped.mid  the score before and after
  raw.wav, shaped.wav  the same to listen to
  before-after.svg     level and vibrato of each part over the bars
  curves.svg           the same with tempo, starts of notes and pedal
  balance.html         who is heard and who is covered, in a hall and in a studio
  trumpet.svg          what a profile says of a trumpet; more by swellbox profile list
`

// demoNext takes the width of the names, the two files to play, and the score.
const demoNext = `
Now play these two files, one after the other. Start quiet:
  %-[1]*[2]s  as the notation program plays it
  %[3]s  as players would
The sound is a demonstration synthesiser's. To hear both on your own sampler: swellbox play %[4]s, and swellbox switch raw or shaped while it plays.
`

// tail is how long the last note may ring.
const tail = 3 * time.Second

func writeWAV(path string, take *audition.Take, gain float64) error {
	return atomicfile.WriteSeek(path, func(f io.WriteSeeker) error { return take.WriteWAV(f, gain) })
}
