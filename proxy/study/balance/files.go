package balance

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"

	"swellbox/profiles/atomicfile"
)

// WriteFolder writes balance.html, balance.svg, balance.csv and balance.json into a
// folder, which it makes if need be. Errors name the path.
func (r *Result) WriteFolder(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("the folder for the report cannot be made: %w", err)
	}
	for _, f := range []struct {
		name  string
		write func(io.Writer) error
	}{
		{"balance.html", r.HTML},
		{"balance.svg", r.SVG},
		{"balance.csv", r.CSV},
		{"balance.json", r.JSON},
	} {
		if err := atomicfile.Write(filepath.Join(dir, f.name), f.write); err != nil {
			return err
		}
	}
	return nil
}

// JSON writes one object, whose places are the reports: the hall's and the studio's, or
// one of them. An error is that of w.
func (r *Result) JSON(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(struct {
		Version int      `json:"version"` // of what this says; 2: audibility_db is of voices, states are other words
		Title   string   `json:"title"`
		Where   string   `json:"where"` // the hall and the seat in words
		Unit    string   `json:"unit"`  // of "bar" below: bar or second
		Bars    int      `json:"bars"`
		Printed []string `json:"printed,omitempty"` // what each bar is called in the score, where there is one; a repeated bar says which time
		Places  []Report `json:"places"`
	}{2, r.Title, r.Where, r.Unit, r.Bars, r.printed, r.Reports})
}

// CSV writes a line for each place, part and bar in which the part sounds. An error is
// that of w.
func (r *Result) CSV(w io.Writer) error {
	out := csv.NewWriter(w)
	lines := [][]string{{"place", "part", "instrument", r.Unit, "level_db", "audibility_db", "masking_db", "line", "state"}}
	for _, report := range r.Reports {
		for _, p := range report.Parts {
			for _, b := range p.Bars {
				lines = append(lines, []string{
					report.Place, p.Name, p.Instrument, strconv.Itoa(b.Bar),
					decimal(b.LevelDB), decimal(b.AudibilityDB), decimal(b.MaskingDB), b.Line, b.State.String(),
				})
			}
		}
	}
	return out.WriteAll(lines)
}

// decimal is a number with one decimal.
func decimal(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
