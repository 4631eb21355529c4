package quiz

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"swellbox/expr"
	"swellbox/expr/habits"
)

// Skill is one thing in which two takes may differ.
type Skill struct {
	Name  string
	About string // what is learnt, one line
	Unit  string // of the amount by which the takes differ
	Scale Scale
	// Subjects are what can be asked about in a passage.
	Subjects func(*Score, Passage) []Subject
	// Question asks for one of the takes.
	Question func(*Subject) string
	// Sides are the take that is asked for and the other, which differ by an amount.
	Sides func(about *Subject, amount float64) (asked, other Side)
	// Difference says what differed: take is the name of the one that was asked for.
	Difference func(about *Subject, amount float64, take string) string
	Hint       string // what to listen for, with its source
}

// Subject is whom a question is about.
type Subject struct {
	Words string // "the brass", "Violins I"
	Heard []int  // the parts that play
	Parts []int  // those that the question is about
}

// Skills is everything that can be asked. Another skill is one more entry.
var Skills = []*Skill{rawOrShaped, vibrato, swell, balance, brassWeight, hall}

// SkillNamed finds a skill.
func SkillNamed(name string) (*Skill, error) {
	var known []string
	for _, s := range Skills {
		if s.Name == name {
			return s, nil
		}
		known = append(known, s.Name)
	}
	return nil, fmt.Errorf("there is no skill %s; the skills are %s", name, strings.Join(known, ", "))
}

// longNote is long enough to hear a vibrato or a swell on: the built-in profiles' vibrato
// is whole after 0.8 s, and the quiz's swell over after 1.2. Ours.
const longNote = 1500 * time.Millisecond

var rawOrShaped = &Skill{
	Name:  "shaping",
	About: "tell the raw from the shaped performance",
	Unit:  "times the normal amounts",
	Scale: Scale{Start: 2, Top: 2, Floor: .05},
	Subjects: func(s *Score, p Passage) []Subject {
		heard := s.sounding(p)
		if !slices.ContainsFunc(heard, func(i int) bool { return s.sustains(p, i, time.Second) }) {
			return nil
		}
		return []Subject{{Words: "all", Heard: heard, Parts: heard}}
	},
	Question: func(*Subject) string { return "which take is shaped, as players would play it?" },
	Sides: func(_ *Subject, amount float64) (Side, Side) {
		scaled := func(by float64) func(int, *expr.Profile) {
			return func(_ int, p *expr.Profile) {
				for _, about := range habits.All() {
					p.Amounts.Set(about.Key, min(p.Amounts.Of(about.Key)*by, expr.MostAmount))
				}
				p.Bloom.LongNotes = min(p.Bloom.LongNotes*by, expr.MostAmount)
			}
		}
		return Side{Musical: true, Play: scaled(amount)}, Side{Musical: true, Play: scaled(0)}
	},
	Difference: func(_ *Subject, amount float64, take string) string {
		return fmt.Sprintf("%s was shaped, each habit with %s times its normal amount; the other came straight from the score", take, Figure(amount))
	},
	Hint: "Listen to one held note: does it move, and does its vibrato wait at first and then grow? Does a phrase rise to its middle, and does it breathe at its end? In a forte, do the brass gain more than the wood-winds (Rimsky-Korsakov: 1 trumpet = 2 horns = 4 wood-winds)?",
}

var vibrato = &Skill{
	Name:  "vibrato",
	About: "hear how wide a vibrato is",
	Unit:  "cents peak to peak",
	Scale: Scale{Start: 50, Top: 100, Floor: 1},
	Subjects: func(s *Score, p Passage) []Subject {
		return s.alone(p, func(i *expr.Profile) bool {
			return i.Amounts.Of("vibrato") > 0 && i.Sampler.VibratoDepth.Has()
		})
	},
	Question: func(about *Subject) string { return about.Words + " alone: which take has vibrato?" },
	Sides: func(_ *Subject, amount float64) (Side, Side) {
		deep := func(cents float64) func(int, *expr.Profile) {
			return func(_ int, p *expr.Profile) {
				v := &p.Vibrato
				if p.Amounts.Of("vibrato") == 0 { // a way of playing that has none, as tremolo
					return
				}
				p.Amounts.Set("vibrato", 1)
				v.DepthLow, v.DepthHigh, v.DepthPerDB, v.OpenStrings = cents, cents, 0, nil
				p.Sampler.Incoming.Vibrato = expr.Replace
			}
		}
		return Side{Play: deep(amount), Place: expr.Studio}, Side{Play: deep(0), Place: expr.Studio}
	},
	Difference: func(_ *Subject, amount float64, take string) string {
		return fmt.Sprintf("%s had a vibrato of %s cents peak to peak on its long notes, the other none", take, Figure(amount))
	},
	Hint: "Wait for the second half of a long note, where the vibrato has grown; violins usually have 40 to 108 cents by position (Allen, Geringer and MacLeod 2009), flutes about 20 (Fletcher 1975, from memory).",
}

var swell = &Skill{
	Name:  "swell",
	About: "hear how far a held note rises and falls",
	Unit:  "dB",
	Scale: Scale{Start: 9, Top: 9, Floor: .25},
	Subjects: func(s *Score, p Passage) []Subject {
		alone := s.alone(p, func(i *expr.Profile) bool { return i.Sampler.Level.Has() })
		return slices.DeleteFunc(alone, func(about Subject) bool {
			softest, _ := s.written(p, about.Parts[0])
			return softest < -15 // dB re mf; under it the widest swell would pass the engine's ceiling
		})
	},
	Question: func(about *Subject) string {
		return about.Words + " alone: in which take do long notes swell?"
	},
	Sides: func(_ *Subject, amount float64) (Side, Side) {
		high := func(dB float64) func(int, *expr.Profile) {
			return func(_ int, p *expr.Profile) {
				p.Amounts.Set("vibrato", 0)
				if p.Amounts.Of("bloom") == 0 {
					return
				}
				// Up in 600 ms and down again as fast: ours.
				p.Amounts.Set("bloom", 1)
				p.Bloom = expr.Bloom{SwellDB: dB, Swell: 600 * time.Millisecond, DecayDBPerS: dB / .6, DecayLimitDB: dB}
			}
		}
		return Side{Play: high(amount), Place: expr.Studio}, Side{Play: high(0), Place: expr.Studio}
	},
	Difference: func(_ *Subject, amount float64, take string) string {
		return fmt.Sprintf("In %s long notes rose by %s dB in 0.6 s and fell again, in the other they stayed level", take, Figure(amount))
	},
	Hint: "Compare the start of a long note with its middle, not one note with the next; the colour moves too, as louder is brighter. About 1 dB is what listeners just notice on single tones (Slade et al. 2022: 0.7 to 1.2 dB).",
}

var balance = &Skill{
	Name:  "balance",
	About: "hear that one family is stronger against the rest",
	Unit:  "dB",
	Scale: Scale{Start: 8, Top: 12, Floor: .25},
	Subjects: func(s *Score, p Passage) []Subject {
		heard := s.sounding(p)
		families := map[string][]int{}
		for _, i := range heard {
			f := s.parts[i].Instrument.Family
			families[f] = append(families[f], i)
		}
		if len(families) < 2 {
			return nil
		}
		var subjects []Subject
		for _, f := range []string{"strings", "woodwind", "brass"} { // in the order of a score's families
			if families[f] != nil {
				subjects = append(subjects, Subject{Words: "the " + f, Heard: heard, Parts: families[f]})
			}
		}
		return subjects
	},
	Question: func(about *Subject) string {
		return fmt.Sprintf("in which take are %s stronger against the rest?", about.Words)
	},
	Sides: func(about *Subject, amount float64) (Side, Side) {
		return Side{FaderDB: raised(about, amount)}, Side{FaderDB: raised(about, 0)}
	},
	Difference: func(about *Subject, amount float64, take string) string {
		return fmt.Sprintf("In %s %s were %s dB stronger against the rest; as both takes are equally loud, the rest was softer there", take, about.Words, Figure(amount))
	},
	Hint: "Follow an inner line of the family first, then what surrounds it. About 1 dB is what listeners just notice on single tones (Slade et al. 2022: 0.7 to 1.2 dB); within a texture it takes more.",
}

var brassWeight = &Skill{
	Name:  "brass",
	About: "hear how much weight trumpets, trombones and tuba have in a forte",
	Unit:  "dB at forte",
	Scale: Scale{Start: 6, Top: 6, Floor: .25},
	Subjects: func(s *Score, p Passage) []Subject {
		heard := s.sounding(p)
		var heavy []int
		for _, i := range heard {
			in := s.parts[i].Instrument
			_, loudest := s.written(p, i)
			if in.Family == "brass" && in.Amounts.Of("orchestra_weight")*in.Weight.ShareDB > 0 && loudest >= in.Weight.ToDB {
				heavy = append(heavy, i)
			}
		}
		if heavy == nil || len(heavy) == len(heard) {
			return nil
		}
		return []Subject{{Words: "the heavy brass", Heard: heard, Parts: heavy}}
	},
	Question: func(about *Subject) string { return fmt.Sprintf("in which take do %s weigh more?", about.Words) },
	Sides: func(about *Subject, amount float64) (Side, Side) {
		weighing := func(dB float64) func(int, *expr.Profile) {
			return func(part int, p *expr.Profile) {
				p.Instrument = nil // all weigh by their shares
				if slices.Contains(about.Parts, part) {
					p.Amounts.Set("orchestra_weight", 1)
					p.Weight.ShareDB = dB
				}
			}
		}
		return Side{Play: weighing(amount)}, Side{Play: weighing(0)}
	},
	Difference: func(about *Subject, amount float64, take string) string {
		return fmt.Sprintf("In %s %s weighed %s dB more than a horn at forte, in the other as much as one; the published weight is 3.01 dB, as 1 trumpet = 2 horns (Rimsky-Korsakov)", take, about.Words, Figure(amount))
	},
	Hint: "In a forte the weight comes with an edge: partials near 3 kHz rise 1.5 to 2.2 dB with each dB (Meyer, from memory). Listen for the edge, then for what the brass cover.",
}

var hall = &Skill{
	Name:  "hall",
	About: "tell the balance of a stage from that of sections recorded apart",
	Unit:  "times the hall's differences",
	Scale: Scale{Start: 1, Top: 2, Floor: .05},
	Subjects: func(s *Score, p Passage) []Subject {
		heard := s.sounding(p)
		families := map[string]bool{}
		for _, i := range heard {
			if in := s.parts[i].Instrument; in.Amounts.Of("orchestra_weight") > 0 && in.Instrument != nil {
				families[in.Family] = true
			}
		}
		if len(families) < 2 {
			return nil
		}
		return []Subject{{Words: "all", Heard: heard, Parts: heard}}
	},
	Question: func(*Subject) string { return "in which take do the parts stand to each other as on a stage?" },
	Sides: func(_ *Subject, amount float64) (Side, Side) {
		weighing := func(by float64) Side {
			return Side{Place: expr.Hall, Play: func(_ int, p *expr.Profile) {
				p.Amounts.Set("orchestra_weight", min(p.Amounts.Of("orchestra_weight")*by, 2))
			}}
		}
		return weighing(amount), weighing(0)
	},
	Difference: func(_ *Subject, amount float64, take string) string {
		return fmt.Sprintf("In %s the parts stood as in a large hall, by the acoustic model's weights in dB times %s; in the other each was as loud as its own mark. The room that you hear is the same", take, Figure(amount))
	},
	Hint: "Listen for who is covered: on a stage low flutes vanish behind trombones, and in a forte a trumpet outweighs two horns (Rimsky-Korsakov).",
}

// raised is the faders with the subject's parts up.
func raised(about *Subject, dB float64) func(part int) float64 {
	return func(part int) float64 {
		if slices.Contains(about.Parts, part) {
			return dB
		}
		return 0
	}
}

// alone are the parts that could be asked about by themselves: of an instrument that
// will do, with a long note.
func (s *Score) alone(p Passage, will func(*expr.Profile) bool) []Subject {
	var subjects []Subject
	for _, i := range s.sounding(p) {
		if will(s.parts[i].Instrument) && s.sustains(p, i, longNote) {
			subjects = append(subjects, Subject{Words: s.parts[i].Name, Heard: []int{i}, Parts: []int{i}})
		}
	}
	return subjects
}

// sustains reports whether a part that can hold a note holds one so long.
func (s *Score) sustains(p Passage, part int, length time.Duration) bool {
	return s.parts[part].Instrument.Amounts.Of("bloom") > 0 && s.longest(p, part) >= length
}

// written are the softest and the loudest written level of a part in a passage, dB re mf.
func (s *Score) written(p Passage, part int) (softest, loudest float64) {
	softest, loudest = math.Inf(1), math.Inf(-1)
	for _, n := range s.within(p) {
		if n.Part == part {
			dB := s.parts[part].Instrument.Dynamics.Reading.At(float64(n.Velocity))
			softest, loudest = min(softest, dB), max(loudest, dB)
		}
	}
	return softest, loudest
}

// Figure is an amount with as many digits as matter to the ear.
func Figure(x float64) string {
	switch {
	case x >= 9.95:
		return fmt.Sprintf("%.0f", x)
	case x >= .995:
		return fmt.Sprintf("%.1f", x)
	}
	return fmt.Sprintf("%.2f", x)
}
