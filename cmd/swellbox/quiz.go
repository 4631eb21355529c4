package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/usage"
	"swellbox/proxy/layout"
	"swellbox/proxy/offline"
	"swellbox/proxy/study/demo"
	"swellbox/proxy/study/quiz"
)

// quizOptions are the flags of the command.
type quizOptions struct {
	dir       string
	skills    []string
	questions int
	seed      uint64
	seeded    bool
}

func quizCommand(p *program.Program) *cobra.Command {
	var o quizOptions
	var progress bool
	c := &cobra.Command{
		Use:   "quiz [RAW.mid]",
		Short: "train your ear: two takes of a few bars, and which is which",
		Long: `quiz writes two takes of a few bars, A.wav and B.wav, which differ in one thing, and
asks which is which. The bars are from a MIDI file, from a MusicXML score, or from the
built-in score. Play the takes with any program that plays sound files, and answer a or b.
The differences become smaller until you hear about seven of ten: that is your threshold,
and a private record keeps it.

The skills are:
` + listSkills() + `
Both takes of a question are equally loud, so that louder is never the answer. The sound
is the demonstration synthesiser's, and parts play by the built-in profiles.
Start quiet, and leave the volume where it is.`,
		Args: usage.Between(0, 1, "at most one MIDI file or score"),
		RunE: func(c *cobra.Command, args []string) error {
			o.seeded = c.Flags().Changed("seed")
			switch {
			case progress && len(args) > 0:
				return fmt.Errorf("--progress takes no MIDI file: %w", usage.ErrUsage)
			case progress:
				return quizProgress(p)
			case o.questions < 0:
				return fmt.Errorf("--questions is %d; it can be 0, for no end, or more: %w", o.questions, usage.ErrUsage)
			}
			return sit(c.Context(), p, c.InOrStdin(), args, o)
		},
	}
	f := c.Flags()
	f.StringVarP(&o.dir, "out", "o", "quiz", "`folder` to write the takes into; it is made if need be")
	f.StringArrayVar(&o.skills, "skill", nil, "ask only about the skill of this `name` (may be repeated)")
	f.IntVar(&o.questions, "questions", 0, "end after so many questions; 0 for when you say quit")
	f.BoolVar(&progress, "progress", false, "show your thresholds so far")
	f.Uint64Var(&o.seed, "seed", 0, "`number` that sets what is asked and in which order, for trying things out")
	return c
}

func listSkills() string {
	var b strings.Builder
	for _, s := range quiz.Skills {
		fmt.Fprintf(&b, "  %-9s %s\n", s.Name, s.About)
	}
	return b.String()
}

// recordPath is the file of the listener's record.
func recordPath(p *program.Program) (string, error) {
	if p.Settings.Home == "" {
		return "", errors.New("there is no folder to keep the record of the quiz in; name one with --home FOLDER")
	}
	return filepath.Join(p.Settings.Home, "quiz.json"), nil
}

func readRecord(p *program.Program) (*quiz.Record, string, error) {
	path, err := recordPath(p)
	if err != nil {
		return nil, "", err
	}
	record, aside, err := quiz.ReadRecord(path)
	if aside != "" {
		p.Warn([]string{fmt.Sprintf("the record of the quiz is damaged; it is kept as %s, and a new one begins", aside)})
	}
	return record, path, err
}

func quizProgress(p *program.Program) error {
	record, _, err := readRecord(p)
	if err != nil {
		return err
	}
	all := record.Progress()
	if p.Settings.JSON {
		return p.PrintJSON(all)
	}
	if len(all) == 0 {
		p.Sayf("nothing has been answered yet; begin with: swellbox quiz")
		return nil
	}
	return quiz.PrintProgress(p.Out, all, p.Width())
}

func sit(ctx context.Context, p *program.Program, in io.Reader, args []string, o quizOptions) error {
	for _, name := range o.skills {
		if _, err := quiz.SkillNamed(name); err != nil {
			return fmt.Errorf("%w: %w", err, usage.ErrUsage)
		}
	}
	score, err := readQuizScore(args)
	if err != nil {
		return err
	}
	drills, err := quiz.Drills(score, o.skills)
	if err != nil {
		return err
	}
	record, path, err := readRecord(p)
	if err != nil {
		return err
	}
	if err := record.Write(path); err != nil { // better now than after the first answer
		return err
	}
	seed := o.seed
	if !o.seeded {
		seed = rand.Uint64()
	}
	s := &quizSession{
		dir: o.dir, out: p.Out, width: min(p.Width(), layout.Broadest), lines: linesOf(ctx, in),
		record: record, path: path, rng: rand.New(rand.NewPCG(seed, 0)),
		given: []givenAnswer{},
	}
	if p.Settings.JSON {
		s.out = p.Err
	}
	p.Endless.Store(true) // Ctrl-C ends it as quit does
	s.sayf(quizIntroduction, filepath.Join(o.dir, quiz.Files[0]), filepath.Join(o.dir, quiz.Files[1]), quiz.LevelLKFS, quiz.PeakDB)
	for n := 0; o.questions == 0 || n < o.questions; n++ {
		switch err := s.ask(ctx, n+1, drills[n%len(drills)]); {
		case errors.Is(err, errQuit), errors.Is(err, context.Canceled):
			return endQuiz(p, s)
		case err != nil:
			return err
		}
	}
	return endQuiz(p, s)
}

// quizIntroduction takes the two files, the loudness in LKFS and the highest peak in dBFS.
const quizIntroduction = `Each question is two takes of a few bars:

  %s
  %s
Open them with any program that plays sound files, anew for each question, and listen as often as you like.

Answer a or b; again repeats the question, skip leaves it out, quit ends. Guess if unsure.

Start quiet, then leave the volume where it is: both takes of a question are equally loud as measured by ITU-R BS.1770, at %d LKFS or softer, and their peaks stay under %d dBFS.`

func readQuizScore(args []string) (*quiz.Score, error) {
	if len(args) == 0 {
		return quiz.NewScore(demo.Score(), demo.Pan)
	}
	file, _, err := offline.ReadPiece(args[0], offline.PlayOrnaments)
	if err != nil {
		return nil, err
	}
	score, err := quiz.NewScore(file, demo.Pan)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", args[0], err)
	}
	return score, nil
}

// linesOf are the lines that come in, until the context is done or they end.
func linesOf(ctx context.Context, in io.Reader) <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		scanner := bufio.NewScanner(in)
		for scanner.Scan() {
			select {
			case lines <- scanner.Text():
			case <-ctx.Done():
				return
			}
		}
	}()
	return lines
}

// quizSession is one sitting.
type quizSession struct {
	lines  <-chan string
	out    io.Writer
	width  int
	dir    string
	record *quiz.Record
	path   string
	rng    *rand.Rand
	given  []givenAnswer
}

// sayf says something in lines of the terminal's width.
func (s *quizSession) sayf(format string, args ...any) {
	fmt.Fprintln(s.out, layout.Text(fmt.Sprintf(format, args...), s.width))
}

// givenAnswer is an answer as scripts see it.
type givenAnswer struct {
	Skill  string  `json:"skill"`
	Amount float64 `json:"amount"`
	Unit   string  `json:"unit"`
	Right  bool    `json:"right"`
}

// errQuit ends a session; it is no failure.
var errQuit = errors.New("quit")

// ask asks one question and keeps the answer at once, so that nothing is lost however
// the session ends.
func (s *quizSession) ask(ctx context.Context, number int, drill *quiz.Drill) error {
	staircase := s.record.Staircase(drill.Skill)
	q, err := drill.Ask(ctx, staircase.Level(), s.rng)
	if err != nil {
		return err
	}
	for {
		if err := q.Write(s.dir); err != nil {
			return err
		}
		s.sayf("\nQuestion %d, %s, %s: %s", number, q.Skill.Name, q.Passage, q.Words())
		if q.LKFS < quiz.LevelLKFS {
			s.sayf("(these two have %.1f LKFS, for the sake of their peaks)", q.LKFS)
		}
		word, err := s.answer(ctx)
		if err != nil {
			return err
		}
		switch word {
		case "again":
			continue
		case "skip":
			return nil
		case "a":
			return s.take(q, staircase, quiz.A)
		}
		return s.take(q, staircase, quiz.B)
	}
}

// answer is the next word that can be understood.
func (s *quizSession) answer(ctx context.Context) (string, error) {
	for {
		fmt.Fprint(s.out, "a, b, again, skip or quit? ")
		select {
		case <-ctx.Done():
			fmt.Fprintln(s.out)
			return "", errQuit
		case line, more := <-s.lines:
			if !more {
				fmt.Fprintln(s.out)
				return "", errQuit
			}
			switch word := strings.ToLower(strings.TrimSpace(line)); word {
			case "a", "b", "again", "skip":
				return word, nil
			case "quit":
				return "", errQuit
			case "":
			default:
				s.sayf("%q is no answer.", layout.Shorten(word, 20))
			}
		}
	}
}

func (s *quizSession) take(q *quiz.Question, staircase *quiz.Staircase, given quiz.Take) error {
	right := given == q.Answer
	threshold, over := s.record.Add(q.Skill, staircase, right, time.Now())
	if err := s.record.Write(s.path); err != nil {
		return err
	}
	s.given = append(s.given, givenAnswer{q.Skill.Name, q.Amount, q.Skill.Unit, right})
	verdict := "No."
	if right {
		verdict = "Yes."
	}
	for line := range strings.Lines(verdict + " " + q.Explanation()) { // what it was, and what to listen for
		s.sayf("%s", strings.TrimSuffix(line, "\n"))
	}
	if over {
		s.sayf("Your threshold for %s is now %s %s: there, 7 of 10 answers are right.", q.Skill.Name, quiz.Figure(threshold), q.Skill.Unit)
	}
	return nil
}

// endQuiz sums a session up.
func endQuiz(p *program.Program, s *quizSession) error {
	right := 0
	for _, g := range s.given {
		if g.Right {
			right++
		}
	}
	if p.Settings.JSON {
		return p.PrintJSON(struct {
			Answers  []givenAnswer   `json:"answers"`
			Progress []quiz.Progress `json:"progress"`
		}{s.given, s.record.Progress()})
	}
	_, err := fmt.Fprintln(p.Out)
	return errors.Join(err, p.Sayf("%d of %d answers right. swellbox quiz --progress shows your record, which lies in %s", right, len(s.given), s.path))
}

func skillNames() []string {
	var all []string
	for _, s := range quiz.Skills {
		all = append(all, s.Name)
	}
	return all
}
