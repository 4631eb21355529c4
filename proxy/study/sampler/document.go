package sampler

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"text/template"
	"time"
	"unicode"

	"swellbox/expr"
	"swellbox/expr/acoustics"
	"swellbox/profiles"
	"swellbox/profiles/reading"
)

// Making is how documents are made of what was measured.
type Making struct {
	Weight   Weight // by which parts are brought to one level
	Ensemble profiles.Ensemble
	On       time.Time
	By       string
}

// Document is a controller map of one part.
type Document struct {
	File string
	Text []byte
}

// Documents are the controller maps of what was measured, one for each part that was heard.
func (res *Result) Documents(m Making) ([]Document, error) {
	c := coloursOf(m)
	ref := res.reference(m, c)
	taken := map[string]bool{}
	var out []Document
	for i := range res.Parts {
		f := &res.Parts[i]
		if len(f.Velocity) == 0 {
			continue
		}
		name := mapName(f.Subject.Name, taken)
		d, err := f.document(name, ref, m, c)
		if err != nil {
			return nil, err
		}
		if _, err := profiles.ParseControllerMap(d.File, d.Text); err != nil {
			return nil, fmt.Errorf("what was measured of %s makes no controller map: %w", f.Name, err)
		}
		out = append(out, d)
	}
	return out, nil
}

// mapName is a name for a part's map that no other has.
func mapName(part string, taken map[string]bool) string {
	words := strings.FieldsFunc(strings.ToLower(part), func(c rune) bool { return !unicode.IsLower(c) && !unicode.IsDigit(c) })
	base := strings.Join(append([]string{"measured"}, words...), "-")
	if len(base) > 48 || !reading.ValidName(base) {
		base = "measured-part"
	}
	name := base
	for n := 2; taken[name]; n++ {
		name = fmt.Sprintf("%s-%d", base, n)
	}
	taken[name] = true
	return name
}

// colours are what a weight makes of an instrument beside its strength, in the model.
type colours struct {
	scene  *acoustics.Scene
	weight *acoustics.Bands
	seats  *acoustics.Seating
}

func coloursOf(m Making) *colours {
	c := &colours{scene: acoustics.NewScene(m.Ensemble.Place()), seats: &acoustics.Seatings()[0]}
	if m.Weight == Ear {
		c.weight = &acoustics.Bands{}
		for i := range c.weight {
			c.weight[i] = math.Pow(10, acoustics.KWeightDB(min(acoustics.BandHz(i), 20000))/10)
		}
	}
	return c
}

// source is one player of a part at mf on a key.
func (c *colours) source(s *Subject, key float64) acoustics.Source {
	in := s.Profile.Instrument
	return acoustics.Source{Instrument: in, Players: 1, Seat: c.seats.Seat(in), PitchHz: acoustics.KeyPitch(key).Hz()}
}

// overDB is by how much the level that is measured lies over the strength at which the engine aims.
func (c *colours) overDB(s *Subject, key float64) float64 {
	if s.Profile.Instrument == nil {
		return 0
	}
	src := c.source(s, key)
	return c.scene.OverStrengthDB(&src, c.weight)
}

// reference is the level that stands for 0 dB in all documents, dB re full scale: such that the
// whole ensemble at mf is as loud shaped as raw.
func (res *Result) reference(m Making, c *colours) float64 {
	raw, shaped := 0.0, 0.0
	for i := range res.Parts {
		f := &res.Parts[i]
		if len(f.Velocity) == 0 {
			continue
		}
		s := f.Subject
		aim := law(mf) - m.Ensemble.HeadroomDB
		if s.Profile.Instrument != nil && s.Profile.Amounts.Of("orchestra_weight") > 0 {
			src := c.source(s, float64(s.middle()))
			aim += c.scene.TargetDB(&src) + acoustics.PlayersDB(s.Players) + c.overDB(s, float64(s.middle()))
		}
		raw += math.Pow(10, f.LevelDB[m.Weight]/10)
		shaped += math.Pow(10, aim/10)
	}
	return decibels(raw) - decibels(shaped)
}

// leastBright is the least that a brightness controller changes, dB: less is a dead one. Ours.
const leastBright = 0.5

// mostKeyDB is the most by which a key is evened out: one that is farther off has no sound of its own.
const mostKeyDB = 15

// view is a part's document as its text has it.
type view struct {
	Name, Part, Profile, On, By string
	Program                     int
	Carrier, CarrierWhy         string
	Velocity, Level             string
	Vibrato                     []string
	Dull                        bool
	Louder                      float64
	ByVolume                    bool
	Keys                        string
	Late, Own                   float64
	Problems                    []string
}

var documentText = template.Must(template.New("").Parse(`# What a recording has shown of {{.Part}}: written by swellbox calibrate fit.
{{range .Problems}}# {{.}}
{{end}}swellbox: 1
controller_map: {{.Name}}
measured: {part: {{printf "%q" .Part}}, profile: {{.Profile}}{{if .Program}}, program: {{.Program}}{{end}}, on: "{{.On}}"{{if .By}}, by: {{printf "%q" .By}}{{end}}}
everyone:
  marks: {carried_by: {{.Carrier}}} # {{.CarrierWhy}}
  sampler:
    velocity: {{.Velocity}}
    level: {{.Level}}
{{range .Vibrato}}    {{.}}
{{end}}{{if .Dull}}    brightness: none # its controller was found dead
    brightness_db_per_db: 0
{{end}}    measured:
      louder_db: {{printf "%.2f" .Louder}} # at mf on its middle key, against what all parts are held to
      by_volume: {{.ByVolume}}
      late_ms: {{printf "%.0f" .Late}} # against the quickest part
      own_vibrato_cents: {{printf "%.0f" .Own}}
      keys: [{{.Keys}}] # against louder_db
`))

func (f *PartFit) document(name string, ref float64, m Making, c *colours) (Document, error) {
	s := f.Subject
	mid := float64(s.middle())
	over := c.overDB(s, mid)
	v := view{
		Name: name, Part: s.Name, Profile: s.ProfileName, Program: s.Program, On: m.On.Format(time.DateOnly), By: m.By,
		Velocity: curve("velocity", f.Velocity, mf), Level: f.level(), Vibrato: f.vibrato(), Dull: f.triedBright && f.Bright < leastBright,
		Louder: f.LevelDB[m.Weight] - over - ref - law(mf), ByVolume: f.VolumeDB < -deadDB,
		Late: min(f.AttackMS, 400), Own: min(f.Own.Cents, 200), Problems: f.Problems,
	}
	v.Carrier, v.CarrierWhy = f.carrier()
	if v.Carrier == "velocity" && span(f.Dynamics) < deadDB {
		v.Level = "none # its controller was found dead"
	}
	var keys []string
	for _, k := range f.Keys {
		db := k.DB[m.Weight] - (c.overDB(s, float64(k.Key)) - over)
		keys = append(keys, fmt.Sprintf("{key: %d, level_db: %.1f}", k.Key, min(max(db, -mostKeyDB), mostKeyDB)))
	}
	if len(keys) == 0 {
		keys = []string{fmt.Sprintf("{key: %d, level_db: 0}", s.middle())}
	}
	v.Keys = strings.Join(keys, ", ")
	var b bytes.Buffer
	err := documentText.Execute(&b, v)
	return Document{File: name + ".yaml", Text: b.Bytes()}, err
}

// carrier is what is to carry the dynamics, and why.
func (f *PartFit) carrier() (word, why string) {
	struck := f.Subject.Profile.Dynamics.Carrier == expr.CarryVelocity
	switch v, c := span(f.Velocity) >= deadDB, span(f.Dynamics) >= deadDB; {
	case struck && v:
		return "velocity", "the dynamics lie in the stroke"
	case v && c:
		return "both", "the velocity follows what is written, and the sound with it; the controller makes up the rest"
	case v:
		return "velocity", "the controller of its level is dead"
	case c:
		return "controller", "its velocity changes no level"
	}
	return "velocity", "nothing that was tried changes its level"
}

// Ours: what lies under softDB is played seldom, and may be softShare times as far off.
const softDB, softShare = -20, 5

// curve is a response in a document: the standard one where that is what was measured.
func curve(what string, steps []Step, zeroAt int) string {
	if span(steps) < deadDB {
		return "none"
	}
	zero := law(float64(zeroAt))
	far := 0.0
	for _, s := range steps {
		off := math.Abs(s.DB + zero - law(float64(s.Value)))
		if s.DB < softDB {
			off /= softShare
		}
		far = max(far, off)
	}
	if far < 0.5 {
		return "{curve: standard} # within half a decibel where it matters, as measured"
	}
	var points []string
	add := func(value int, db float64) {
		points = append(points, fmt.Sprintf("{%s: %d, level_db: %.2f}", what, value, min(max(db, -119), 24)))
	}
	first := steps[0]
	if what == "value" {
		add(0, -119)
	}
	if first.Value > 1 {
		add(1, first.DB+zero+law(1)-law(float64(first.Value)))
	}
	// Between two values that were measured it goes as the standard law does, turned to meet both.
	for i, s := range steps {
		add(s.Value, s.DB+zero)
		if i+1 == len(steps) {
			break
		}
		next := steps[i+1]
		for v := s.Value + 8; v+4 <= next.Value; v += 8 {
			share := 0.0
			if span := law(float64(next.Value)) - law(float64(s.Value)); span > 0 {
				share = (law(float64(v)) - law(float64(s.Value))) / span
			}
			add(v, zero+s.DB+share*(next.DB-s.DB))
		}
	}
	return "{points: [" + strings.Join(points, ", ") + "]}"
}

// level is the controller of the level.
func (f *PartFit) level() string {
	text := curve("value", f.Dynamics, 127)
	if text == "none" {
		return "none"
	}
	head := fmt.Sprintf("{controller: %d, bits: 7, ", f.Subject.dynamics())
	return strings.Replace(text, "{", head, 1)
}

// Ours: a rate within nearHz of the one that is asked for passes for it, and a controller that makes
// less than leastCents is of no use.
const (
	nearHz     = 0.5
	leastCents = 30
)

// vibrato is by what the vibrato is made.
func (f *PartFit) vibrato() []string {
	want := &f.Subject.Profile.Vibrato
	asked := (want.RateLow + want.RateHigh) / 2
	if len(f.Depth) == 2 {
		half, full := f.Depth[0], f.Depth[1]
		if full.Cents >= leastCents && half.Cents < full.Cents && math.Abs(full.Hz-asked) <= nearHz+math.Abs(want.RateHigh-want.RateLow)/2 {
			return []string{
				"bend_vibrato: false",
				fmt.Sprintf("vibrato_depth: {controller: 1, bits: 7, points: [{value: 0, cents: 0}, {value: 64, cents: %.0f}, {value: 127, cents: %.0f}]} # at %.1f Hz", half.Cents, full.Cents, full.Hz),
			}
		}
	}
	if f.Subject.sustains() && (f.BendST == 0 || f.BendST > 0.2) {
		why := "controller 1 makes no vibrato that can be measured"
		if len(f.Depth) == 2 && f.Depth[1].Cents > 0 {
			why = fmt.Sprintf("controller 1 makes %.0f cents at %.1f Hz", f.Depth[1].Cents, f.Depth[1].Hz)
		}
		reach := f.BendST
		if reach == 0 || math.Abs(reach-2) < 0.3 { // it was told to go 2
			reach = 2
		}
		return []string{"bend_vibrato: true # " + why, fmt.Sprintf("bend_range_semitones: %.2f", max(reach, 1)), "vibrato_depth: none"}
	}
	if f.Subject.sustains() {
		return []string{"bend_vibrato: false", "vibrato_depth: none # neither bend nor controller 1 was found to work"}
	}
	return nil
}
