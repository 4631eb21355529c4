package sampler

import (
	"fmt"
	"html/template"
	"io"
	"strings"
)

// Row is what was measured of a part, as a table has it.
func (f *PartFit) Row() []string {
	if len(f.Velocity) == 0 {
		return []string{f.Name, "not heard", "", "", ""}
	}
	controller := "not tried"
	if len(f.Depth) > 1 {
		controller = f.Depth[1].String()
	}
	return []string{f.Name, fmt.Sprintf("%.1f dB", f.LevelDB[Ear]), fmt.Sprintf("%.0f ms", f.AttackMS), f.Own.String(), controller}
}

// The size of a curve in the report, in pixels.
const wide, high = 180, 90

// plot is a curve as the points of a line: x over 0 to 127, y over the lowest to 0 dB or over.
func plot(steps []Step, low, top float64) string {
	var b strings.Builder
	for _, s := range steps {
		fmt.Fprintf(&b, "%.1f,%.1f ", float64(s.Value)/127*wide, (top-min(max(s.DB, low), top))/(top-low)*high)
	}
	return b.String()
}

var page = template.Must(template.New("").Funcs(template.FuncMap{
	"row":      func(f *PartFit) []string { return f.Row() },
	"velocity": func(f *PartFit) string { return plot(f.Velocity, -40, 12) },
	"dynamics": func(f *PartFit) string { return plot(f.Dynamics, -40, 0) },
	"keys": func(f *PartFit) string {
		var steps []Step
		for _, k := range f.Keys {
			steps = append(steps, Step{k.Key, k.DB[Ear]})
		}
		return plot(steps, -12, 12)
	},
	"carrier": func(f *PartFit) string { word, why := f.carrier(); return word + ": " + why },
	"vibrato": func(f *PartFit) string { return strings.Join(f.vibrato(), "; ") },
	"wide":    func() int { return wide },
	"high":    func() int { return high },
}).Parse(`<!doctype html>
<html lang="en"><meta charset="utf-8"><title>What your sampler does</title>
<style>body{font:16px/1.5 serif;max-width:60rem;margin:2rem auto;padding:0 1rem;color:#222}table{border-collapse:collapse}td,th{padding:.2rem .8rem .2rem 0;text-align:left;border-bottom:1px solid #ddd}
svg{background:#f6f6f2;margin-right:1rem}polyline{fill:none;stroke:#275d6e;stroke-width:2}figure{display:inline-block;margin:0 1rem 1rem 0}figcaption{font-size:.85rem}</style>
<h1>What your sampler does</h1>
<p>Recorded at {{.Rate}} Hz; the probe begins after {{printf "%.2f" .OffsetS}} s; the clocks differ by {{printf "%.0f" .DriftPPM}} parts in a million;
the silence lies at {{printf "%.0f" .NoiseDB}} dB, the loudest sample at {{printf "%.2f" .Peak}} of full scale.</p>
{{range .Remarks}}<p>{{.}}</p>{{end}}
<table><tr><th>part<th>level<th>late<th>vibrato of its own<th>controller 1</tr>
{{range .Parts}}<tr>{{range row .}}<td>{{.}}{{end}}</tr>{{end}}</table>
{{range .Parts}}{{if .Velocity}}<h2>{{.Name}}</h2>
<figure><svg width="{{wide}}" height="{{high}}" role="img"><title>level by velocity</title><polyline points="{{velocity .}}"/></svg><figcaption>velocity 0 to 127: −40 to 12 dB against mf</figcaption></figure>
<figure><svg width="{{wide}}" height="{{high}}" role="img"><title>level by controller</title><polyline points="{{dynamics .}}"/></svg><figcaption>controller of the level: −40 to 0 dB</figcaption></figure>
<figure><svg width="{{wide}}" height="{{high}}" role="img"><title>level by key</title><polyline points="{{keys .}}"/></svg><figcaption>keys 0 to 127: −12 to 12 dB</figcaption></figure>
<p>The dynamics are carried by {{carrier .}}.{{with vibrato .}} Vibrato: {{.}}.{{end}} A tenth of a second is {{printf "%.1f" .ShortDB}} dB against a longer note; velocity and controller together miss their sum by {{printf "%.1f" .BothDB}} dB.</p>
{{range .Problems}}<p>{{.}}.</p>{{end}}{{else}}<h2>{{.Name}}</h2>{{range .Problems}}<p>{{.}}.</p>{{end}}{{end}}{{end}}
</html>
`))

// WriteReport writes a page of what was measured.
func (res *Result) WriteReport(w io.Writer) error {
	parts := make([]*PartFit, len(res.Parts))
	for i := range res.Parts {
		parts[i] = &res.Parts[i]
	}
	return page.Execute(w, struct {
		*Result
		Parts []*PartFit
	}{res, parts})
}
