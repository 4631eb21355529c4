package engine

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/expr/habits"
)

// hands are two hands on every channel of the first port: enough for all there is to be heard and
// planned, with a clock that goes by.
func hands(seed uint64) (in []expr.Event) {
	rng := rand.New(rand.NewPCG(seed, 1))
	at := time.Duration(0)
	for range 120 {
		for ch := range byte(4) {
			if rng.IntN(2) > 0 {
				continue
			}
			low, high := byte(48+rng.IntN(7)), byte(60+rng.IntN(12))
			length := time.Duration(100+rng.IntN(300)) * exprtest.Thousandth
			for _, key := range [...]byte{low, high} {
				in = append(in, expr.Short(at, 0, 0x90|ch, key, 80), expr.Short(at+length, 0, 0x80|ch, key, 64))
			}
		}
		at += 250 * exprtest.Thousandth
	}
	slices.SortStableFunc(in, func(a, b expr.Event) int { return cmp.Compare(a.At, b.At) })
	return performable(in, true)
}

// graded are the grades of foreknowledge at which things fail.
var graded = []struct {
	name      string
	lookahead time.Duration
	score     bool
}{{"none", 0, false}, {"lookahead", 500 * exprtest.Thousandth, false}, {"score", 0, true}, {"score and lookahead", 500 * exprtest.Thousandth, true}}

// Whatever kind of knowledge fails, and whenever: the part or the ensemble plays on without that
// kind, which is named, and every note has come out with its end.
func TestManyKindsOfKnowledgeFail(t *testing.T) {
	for k := range expr.OfAll {
		if k == expr.OfHabits || k == expr.OfFollowing {
			continue // with the first a part is raw, the second is not the engine's
		}
		for _, grade := range graded {
			for _, after := range [...]int{0, 1, 40} {
				t.Run(fmt.Sprintf("%d, %s, %d", k, grade.name, after), func(t *testing.T) {
					in := hands(uint64(after))
					uses := 0
					cfg := Config{
						Lookahead: grade.lookahead, Rubato: 1, Auditions: true, Seed: 1,
						Habits: append(habits.Usual(), habits.Together{}, habits.Rubato{}),
						Trial: func(of expr.Knowledge) {
							if of == k {
								if uses++; uses > after {
									panic("a wrong turn")
								}
							}
						},
					}
					p := exprtest.Piano()
					exprtest.Musical(1, habits.All())(p)
					exprtest.Unsteady(1, expr.Together{SD: 10 * exprtest.Thousandth})(p)
					exprtest.Pedalling(1, expr.Pedal{Kind: expr.PianoPedal})(p)
					e := assembled(t, cfg, []*expr.Profile{p, p, exprtest.Violins(), p})
					if grade.score {
						e.Load(written(in))
					}
					out := drive(e, in, 10*exprtest.Thousandth, 10*time.Second)
					checkNotes(t, in, out)
					named := ""
					for ch := range 4 {
						if err := e.Fault(0, ch); err != nil {
							named += err.Error() + "\n"
						}
						if e.Raw(0, ch) {
							t.Errorf("channel %d is raw for %v", ch+1, e.Fault(0, ch))
						}
					}
					if err := e.Lost(); err != nil {
						named += err.Error()
					}
					if used := uses > after; used != strings.Contains(named, k.Loss("a wrong turn").Error()) {
						t.Errorf("used %d times, and what is told is %q", uses, named)
					}
					if grade.score && grade.lookahead > 0 && uses == 0 {
						t.Errorf("it was never used")
					}
				})
			}
		}
	}
}

// unprepared is a habit that fails before its first note, or when it is to say its name.
type unprepared struct{ name bool }

func (u unprepared) About() *expr.About {
	if u.name {
		panic("no name")
	}
	return &expr.About{Name: "unprepared", Key: "unprepared"}
}
func (u unprepared) Prepare(*expr.Profile) { panic("not prepared") }
func (unprepared) Shape(*expr.Note, *expr.Gesture) bool {
	panic("no shape")
}

// nameless is one that has a shape and no name.
type nameless struct{}

func (nameless) About() *expr.About                   { return unprepared{true}.About() }
func (nameless) Shape(*expr.Note, *expr.Gesture) bool { return unprepared{}.Shape(nil, nil) }

// A part that fails in any way plays raw, and the others as ever; seated anew, or when all is
// tried again, it is shaped.
func TestPartThatFailsIsRaw(t *testing.T) {
	unread, nowhere := exprtest.Violins(), exprtest.Violins()
	unread.Dynamics.Reading = nil      // fails when it is seated
	nowhere.Sampler.Level.Number = 200 // fails at a note, and when its controllers are given back
	for name, c := range map[string]struct {
		profile *expr.Profile
		habit   expr.Habit
	}{
		"a habit's preparation": {exprtest.Violins(), unprepared{}},
		"a habit's name":        {exprtest.Violins(), nameless{}},
		"a reading":             {unread, nil},
		"a controller":          {nowhere, nil},
	} {
		for _, grade := range graded {
			t.Run(name+", "+grade.name, func(t *testing.T) {
				in := hands(3)
				cfg := Config{Lookahead: grade.lookahead, Rubato: 1, Seed: 1, Habits: append(habits.Usual(), habits.Together{}, habits.Rubato{})}
				if c.habit != nil {
					cfg.Habits = append(cfg.Habits, c.habit)
				}
				e := assembled(t, cfg, []*expr.Profile{c.profile, nil, c.profile, nil})
				if c.habit == nil {
					if err := e.Seat(0, 1, exprtest.Violins(), 1); err != nil {
						t.Fatal(err)
					}
				}
				if grade.score {
					e.Load(written(in))
				}
				out := drive(e, in, 10*exprtest.Thousandth, 10*time.Second)
				checkNotes(t, in, out)
				if !e.Raw(0, 0) || !e.Raw(0, 2) || e.Raw(0, 1) || e.Raw(0, 3) {
					t.Errorf("faults: %v, %v, %v, %v", e.Fault(0, 0), e.Fault(0, 1), e.Fault(0, 2), e.Fault(0, 3))
				}
				if err := e.Fault(0, 0); err == nil || !strings.Contains(err.Error(), "the part plays raw") {
					t.Errorf("the fault is %v", err)
				}
			})
		}
	}
}

// What failed is tried again when a piece begins anew.
func TestRetry(t *testing.T) {
	fails := true
	e := assembled(t, Config{Trial: func(of expr.Knowledge) {
		if fails && of != expr.OfAll {
			panic("a wrong turn")
		}
	}}, []*expr.Profile{exprtest.Violins(), exprtest.Violins()})
	e.cfg.Habits[0] = spoiled{}
	at := time.Duration(0)
	phrase := func() (shaped int) {
		for _, key := range [...]byte{60, 66, 62, 64, 65, 67} {
			e.Push(exprtest.On(at, key, 80))
			at += 200 * exprtest.Thousandth
			e.Push(exprtest.Off(at, key))
			e.Pull(at, func(ev *expr.Event) {
				if ev.Side == expr.Shaped {
					shaped++
				}
			})
		}
		return shaped
	}
	phrase()
	if e.Fault(0, 0) == nil || !e.Raw(0, 0) || e.Lost() == nil {
		t.Fatalf("nothing failed: %v, %v", e.Fault(0, 0), e.Lost())
	}
	if n := phrase(); n != 0 {
		t.Errorf("%d shaped events of a raw part", n)
	}
	fails, e.cfg.Habits = false, habits.Usual()
	e.Retry()
	if n := phrase(); n == 0 || e.Fault(0, 0) != nil || e.Lost() != nil {
		t.Errorf("%d shaped events after all is tried again, with faults %v, %v", n, e.Fault(0, 0), e.Lost())
	}
}
