package lesson

import (
	"context"
	"math"
	"math/rand/v2"
	"time"

	"swellbox/proxy/formats/mp3"
	"swellbox/proxy/study/demo"
	"swellbox/proxy/study/quiz"
)

// Ear is what is asked in the page: of each skill from what is heard easily to what is not.
type Ear struct {
	Skills    []string // all that the piece has something to ask about, if nil
	Questions int      // of each skill; 0: nothing is asked
	Seed      uint64   // another number asks about other bars, in another order
}

// harder is the amount of a question as a share of that of the one before: five of them lead from what everybody hears to
// what few do. Ours.
const harder = 0.55

// ask makes the questions.
func (l *Lesson) ask(ctx context.Context, a *Asked) error {
	if a.Ear.Questions == 0 {
		return nil
	}
	score, err := quiz.NewScore(a.Piece.File, demo.Pan)
	if err != nil {
		return err
	}
	drills, err := quiz.Drills(score, a.Ear.Skills)
	if err != nil {
		return err
	}
	rng := rand.New(rand.NewPCG(a.Ear.Seed, 0))
	show, end := a.progress("asking", len(drills)*a.Ear.Questions, time.Second)
	defer func() { end(err) }()
	for n := range a.Ear.Questions {
		for _, d := range drills {
			var q *quiz.Question
			amount := math.Max(d.Skill.Scale.Start*math.Pow(harder, float64(n)), d.Skill.Scale.Floor)
			if q, err = d.Ask(ctx, amount, rng); err != nil {
				return err
			}
			l.Questions = append(l.Questions, &Question{
				Skill: d.Skill.Name, About: d.Skill.About, Unit: d.Skill.Unit, Amount: math.Round(amount*100) / 100,
				Words: q.Words(), Explanation: q.Explanation(), Answer: q.Answer.String(), takes: q.Takes(),
			})
			show(len(l.Questions), 0)
		}
	}
	return nil
}

// encodeQuestions makes MP3 of both takes of each, as loud as they were made.
func (l *Lesson) encodeQuestions(ctx context.Context, e *mp3.Encoder) error {
	for _, q := range l.Questions {
		for i, take := range q.takes {
			var err error
			if q.Audio[i], err = l.mp3(ctx, e, take, 1); err != nil {
				return err
			}
			q.takes[i] = nil
		}
	}
	return nil
}
