package habits

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"swellbox/expr"
	"testing"
)

var update = flag.Bool("update", false, "write the table of habits into README.md")

// The table in the documents says what the habits say of themselves.
func TestTable(t *testing.T) {
	var b strings.Builder
	b.WriteString("# Habits\n\nWhat players do, in the order in which it applies. Each file here is one habit, with its sources beside the formulas; this page is made of what they\n")
	b.WriteString("say of themselves (`go test ./expr/habits -run Table -update`). How much a player has of a habit is its amount in the profile: 0 off, 1 normal, up to 2. At most is by how much the amount 1 makes a note louder or softer.\n\n")
	b.WriteString("| habit | in a profile | what players do | at most | without lookahead | with lookahead | with the score | source |\n|---|---|---|---|---|---|---|---|\n")
	for _, a := range All() {
		key := "`habits." + a.Key + "`"
		switch {
		case a.Own:
			key = "`" + a.Key + "`"
		case a.All:
			key = "no, of all players: `--" + a.Flag() + "`"
		}
		fmt.Fprintf(&b, "| %s | %s | %s | %s | %s | %s | %s | %s |\n", a.Name, key, a.Sentence, atMost(a.Most), a.Needs.None, a.Needs.Lookahead, a.Needs.Score, a.Source)
	}
	if *update {
		if err := os.WriteFile("README.md", []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile("README.md")
	if err != nil || string(got) != b.String() {
		t.Errorf("README.md is not what the habits say of themselves (%v); run the test with -update", err)
	}
}

// atMost is by how much a habit makes a note louder or softer, in words.
func atMost(b expr.Bound) string {
	switch {
	case b.AnyDB > 0:
		return fmt.Sprintf("%g dB in any amount", b.AnyDB)
	case b.DB > 0:
		return fmt.Sprintf("%.2g dB", b.DB)
	}
	return ""
}
