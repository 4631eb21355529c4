package console

import (
	"fmt"
	"strings"

	"swellbox/expr"
)

// Adjusted is how a profile stands that is being adjusted.
type Adjusted struct {
	Name    string   `json:"name"`
	Where   string   `json:"where"` // the file that it would be saved in
	Habits  []Habit  `json:"habits"`
	Curves  []Curve  `json:"curves"`
	Changes []string `json:"changes"` // against what is saved, in the words of music
	Undo    bool     `json:"undo"`    // there is a step to undo
	Redo    bool     `json:"redo"`
}

// Habit is how much its players have of one.
type Habit struct {
	Key      string  `json:"key"`
	Name     string  `json:"name"`
	Sentence string  `json:"sentence"`
	Amount   float64 `json:"amount"` // 0 to 2
	Saved    float64 `json:"saved"`
}

// Curve is one that can be drawn anew.
type Curve struct {
	Key    string       `json:"key"`
	Name   string       `json:"name"`
	About  string       `json:"about"`
	X      string       `json:"x"` // what goes to the right, 0 to 127
	Y      string       `json:"y"` // what goes up, dB
	Least  float64      `json:"least"`
	Most   float64      `json:"most"`
	Points [][2]float64 `json:"points"`
	Saved  [][2]float64 `json:"saved"`
}

// curveKind is a kind of curve that profiles have.
type curveKind struct {
	key, name, about, x, y, path, at string
	least, most                      float64
	of                               func(*expr.Profile) *expr.Curve
}

var curves = []curveKind{
	{"reading", "What a velocity means", "How loud a note is meant that comes in with a velocity, against the instrument's mf.", "velocity that comes in", "dB against mf", "marks.reading.points", "velocity", -40, 15,
		func(p *expr.Profile) *expr.Curve { return p.Dynamics.Reading }},
	{"level", "How the sampler answers its level controller", "How loud the sampler plays at each value of the controller, against its full level. Measure it, or draw it by ear.", "value of the controller", "dB against full", "sampler.level.points", "value", -60, 0,
		func(p *expr.Profile) *expr.Curve {
			if !p.Sampler.Level.Has() {
				return nil
			}
			return p.Sampler.Level.Response
		}},
	{"velocity", "How the sampler answers velocity", "How loud the sampler plays at each velocity, against its full level.", "velocity that goes out", "dB against full", "sampler.velocity.points", "velocity", -60, 0,
		func(p *expr.Profile) *expr.Curve { return p.Sampler.Velocity }},
}

func curveOf(key string) *curveKind {
	for i := range curves {
		if curves[i].key == key {
			return &curves[i]
		}
	}
	return nil
}

// list is points as a document has them.
func (k *curveKind) list(points [][2]float64) string {
	var b strings.Builder
	b.WriteString("[")
	for i, p := range points {
		if i > 0 {
			b.WriteString(", ")
		}
		fmt.Fprintf(&b, "{%s: %g, level_db: %g}", k.at, rounded(p[0]), rounded(p[1]))
	}
	b.WriteString("]")
	return b.String()
}

func (k *curveKind) tell(now, saved *expr.Curve) Curve {
	return Curve{Key: k.key, Name: k.name, About: k.about, X: k.x, Y: k.y, Least: k.least, Most: k.most, Points: k.points(now), Saved: k.points(saved)}
}

// mostPoints is how many points are handed out to be dragged: a law that has one for each value is
// thinned out.
const mostPoints = 12

func (k *curveKind) points(c *expr.Curve) (points [][2]float64) {
	all := c.Points()
	if len(all) <= mostPoints {
		for _, p := range all {
			points = append(points, [2]float64{p.X, rounded(max(p.Y, k.least))})
		}
		return points
	}
	for _, x := range []float64{1, 8, 16, 32, 48, 64, 80, 96, 112, 127} {
		points = append(points, [2]float64{x, rounded(max(c.At(x), k.least))})
	}
	return points
}
