package main

import (
	"context"
	"fmt"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/usage"
	"swellbox/profiles/atomicfile"
	"swellbox/proxy/layout"
	"swellbox/proxy/study/lesson"
)

// lessonOptions are the flags of the command.
type lessonOptions struct {
	bars, habits, takes []string
	skills              []string
	questions           int
	seed                uint64
	words, out          string
}

func lessonCommand(p *program.Program) *cobra.Command {
	var o lessonOptions
	c := &cobra.Command{
		Use:   "lesson RAW.mid|PIECE.musicxml",
		Short: "make a page to listen to: the same bars raw, shaped, in the hall and in a studio, for students",
		Long: `lesson makes one page of some bars of a piece, to be sent to students: a single file that opens in any browser and needs no network. It holds the bars as raw playback, shaped in the hall, shaped in a studio, and with some habits alone, all equally loud, to change between while they sound; a drawing of the notes and of what the players do with them; who is heard in a hall; where the balance report warns, the bars before and after the mildest remedy; and what to listen for.

--words takes a text in Markdown of your own: what stands before the first heading is said at the top, and a heading such as "## bars 9-12" begins what is said at those bars.

--questions puts questions of the quiz into the page, so many of each skill, from what is heard easily to what is not. At their end a student gets a code to hand in, and "swellbox lesson collect" makes a table of the class of them.

--take puts recordings of your own in the place of the sound, such as those of your sampler: WAV files of the whole piece at the tempo of the file, each called as its file is. Where the music begins in them is found by itself.

Else the sound is a small synthesiser's that exists for demonstrations only. All takes keep one tempo.`,
		Args: usage.Exactly(1, "one MIDI file or score"),
		RunE: func(c *cobra.Command, args []string) error { return makeLesson(c.Context(), p, args[0], o) },
	}
	c.Flags().StringArrayVar(&o.bars, "bars", nil, "`bars` to listen to, as in 9-16 (may be repeated); without it the whole piece, if it is short")
	c.Flags().StringArrayVar(&o.habits, "habit", nil, "`habit` to be heard alone, as render --only names it (may be repeated); without it those that are told most easily")
	c.Flags().StringArrayVar(&o.takes, "take", nil, "WAV `file` of the whole piece to be heard in the place of the demonstration's sound (may be repeated)")
	c.Flags().StringVar(&o.words, "words", "", "`file` in Markdown with your own words")
	c.Flags().IntVar(&o.questions, "questions", 0, "also ask this `number` of questions of each skill")
	c.Flags().StringArrayVar(&o.skills, "skill", nil, "ask only about the skill of this `name`, as swellbox quiz has them (may be repeated)")
	c.Flags().Uint64Var(&o.seed, "seed", 1, "another `number` asks about other bars, in another order")
	c.Flags().StringVarP(&o.out, "out", "o", "lesson.html", "`file` to write")
	c.AddCommand(collectCommand(p))
	return c
}

// mostQuestions of each skill is more than anybody answers at one sitting.
const mostQuestions = 20

func makeLesson(ctx context.Context, p *program.Program, in string, o lessonOptions) error {
	if o.questions < 0 || o.questions > mostQuestions {
		return fmt.Errorf("--questions is %d; it can be 0 to %d: %w", o.questions, mostQuestions, usage.ErrUsage)
	}
	for _, other := range append([]string{in, o.words}, o.takes...) {
		if other != "" && settings.Same(other, o.out) {
			return fmt.Errorf("%s would be overwritten; give -o another name", other)
		}
	}
	piece, cast, err := ownPiece(p, in)
	if err != nil {
		return err
	}
	if name := strings.TrimSpace(piece.File.Tracks[0].Name()); name != "" && len(piece.File.Tracks) > 1 {
		piece.Title = name
	}
	p.WarnOfSeats(piece.File, cast)
	asked := &lesson.Asked{Piece: piece, Cast: cast, Bars: o.bars, Habits: o.habits, Takes: o.takes, Ear: lesson.Ear{Skills: o.skills, Questions: o.questions, Seed: o.seed}}
	asked.Progress = func(what string) (func(done, length time.Duration), func(error)) { return p.Progress(what) }
	if o.words != "" {
		text, err := os.ReadFile(o.words)
		if err != nil {
			return fmt.Errorf("the words cannot be read: %w", err)
		}
		asked.Words = lesson.ReadWords(text)
	}
	made, err := lesson.Make(ctx, asked)
	if err != nil {
		return fmt.Errorf("%s: %w", in, err)
	}
	if err := atomicfile.Write(o.out, made.Write); err != nil {
		return err
	}
	return tellLesson(p, made, o.out)
}

// lessonTold is what the command says as JSON.
type lessonTold struct {
	File      string          `json:"file"`
	Bytes     int64           `json:"bytes"`
	Stretches []stretchOfBars `json:"stretches"`
	Questions int             `json:"questions"`
}

type stretchOfBars struct {
	Bars   string   `json:"bars"`
	Length float64  `json:"length_s"`
	Takes  []string `json:"takes"`
}

func tellLesson(p *program.Program, l *lesson.Lesson, out string) error {
	info, err := os.Stat(out)
	if err != nil {
		return err
	}
	told := lessonTold{File: out, Bytes: info.Size()}
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s, %.1f MB.\n\n", out, l.Title, float64(info.Size())/1e6)
	for _, s := range l.Stretches {
		t := stretchOfBars{Bars: s.Name, Length: s.Length}
		for _, take := range s.Takes {
			t.Takes = append(t.Takes, take.Name)
		}
		told.Stretches = append(told.Stretches, t)
		fmt.Fprintf(&b, "  %s, %.0f s: %s\n", s.Name, s.Length, strings.Join(t.Takes, "; "))
	}
	if told.Questions = len(l.Questions); told.Questions > 0 {
		fmt.Fprintf(&b, "  %d questions\n", told.Questions)
	}
	if p.Settings.JSON {
		return p.PrintJSON(told)
	}
	b.WriteString("\nOpen it in a browser, and start quiet. It needs nothing else: send it as it is.")
	if !l.Own {
		b.WriteString(" The sound is a demonstration synthesiser's.")
	}
	_, err = fmt.Fprintln(p.Out, layout.Text(b.String(), min(p.Width(), layout.Broadest)))
	return err
}
