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

// JSON writes the reports as an array, the hall's first, or the one if there is only
// one. An error is that of w.
func (r *Result) JSON(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	if len(r.Reports) == 1 {
		return enc.Encode(r.Reports[0])
	}
	return enc.Encode(r.Reports)
}

// CSV writes a line for each sense, part and bar in which the part sounds. An error is
// that of w.
func (r *Result) CSV(w io.Writer) error {
	out := csv.NewWriter(w)
	lines := [][]string{{"sense", "part", "instrument", r.Unit, "level_db", "audibility_db", "state"}}
	for _, report := range r.Reports {
		for _, p := range report.Parts {
			for _, b := range p.Bars {
				lines = append(lines, []string{
					report.Sense, p.Name, p.Instrument, strconv.Itoa(b.Bar),
					decimal(b.LevelDB), decimal(b.AudibilityDB), b.State.String(),
				})
			}
		}
	}
	return out.WriteAll(lines)
}

// decimal is a number with one decimal.
func decimal(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
