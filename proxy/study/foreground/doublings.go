package foreground

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"swellbox/expr/lines"
	"swellbox/proxy/study/fit"
)

// Doublings is how the pairs of parts that are found to go together in unison or octaves agree with the
// corpus's table of them, stretch by stretch. Of pairs of which nobody sounds, which the table has too, nothing is counted.
type Doublings struct {
	Listed int // pairs in the table
	Found  int // pairs that are found
	Both   int
	Same   int // of those found that are not in the table, pairs that sound the same note or its octaves whenever either sounds
}

// most of a stretch two parts must go together to be found. Ours.
const most = 0.9

// Doublings counts them.
func (m *Movement) Doublings() (d Doublings, err error) {
	f, err := os.Open(filepath.Join(m.Folder, "relations.csv"))
	if err != nil {
		return d, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < 2 {
		return d, fmt.Errorf("%s: no table of relations: %w", m.Folder, err)
	}
	tied := lines.Read(fit.NotesOf(m.Score))
	if tied == nil {
		return d, fmt.Errorf("%s: too little to find lines in", m.Folder)
	}
	names := rows[0][2:]
	parts := make([]int, len(names))
	for i, name := range names {
		parts[i] = m.partOf(name)
	}
	for _, row := range rows[1:] {
		a, errA := strconv.ParseFloat(row[0], 64)
		b, errB := strconv.ParseFloat(row[1], 64)
		if errA != nil || errB != nil {
			return d, fmt.Errorf("%s: relations.csv: %q is no stretch", m.Folder, row[:2])
		}
		from, to := tied.Step(a), tied.Step(b-1e-3)+1
		for x := range names {
			for y := range x {
				if parts[x] >= 0 && parts[y] >= 0 {
					d.count(tied, parts[x], parts[y], from, to, lists(row[2:], names, x, y) || lists(row[2:], names, y, x))
				}
			}
		}
	}
	return d, nil
}

// lists reports whether a row says of a part that it goes with another.
func lists(row, names []string, part, with int) bool {
	if part >= len(row) || with >= len(row) {
		return false
	}
	said := strings.Split(row[part], "&")
	main := strings.Contains(row[with], "Main Part")
	return slices.ContainsFunc([]string{"U", "P8"}, func(how string) bool {
		return slices.Contains(said, how+"("+names[with]+")") || main && slices.Contains(said, how+"(Main)")
	})
}

func (d *Doublings) count(tied *lines.Lines, a, b, from, to int, listed bool) {
	sounds, same := false, true
	for at := from; at < to; at++ {
		x, y := tied.Sounds(a, at), tied.Sounds(b, at)
		sounds = sounds || x || y
		same = same && x == y && (!x || tied.Same(a, b, at))
	}
	if !sounds {
		return
	}
	found := tied.Together(a, b, from, to) >= most
	if listed {
		d.Listed++
	}
	if found {
		d.Found++
	}
	switch {
	case found && listed:
		d.Both++
	case found && same:
		d.Same++
	}
}
