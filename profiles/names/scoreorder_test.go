package names_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"swellbox/profiles/names"
)

// scored are the suppositions of a score's parts.
func scored(t *testing.T, called ...string) []names.Supposition {
	t.Helper()
	var hints []names.Hint
	for i, n := range called {
		hints = append(hints, names.Hint{Port: 1, Channel: i%16 + 1, Track: n})
	}
	var all []names.Supposition
	for _, h := range names.InScore(hints) {
		all = append(all, register(t).Suppose(h))
	}
	return all
}

// A name of several meanings is what stands in its place in a score, and stays in doubt.
func TestNeighboursDecide(t *testing.T) {
	for _, c := range []struct{ score, want string }{
		{"Violons 1|Violons 2|Altos|Violoncelles|Contrebasses", "violins-1 violins-2 violas? cellos double-basses"},
		{"Sopranos|Altos|Ténors|Violons", "choir-sopranos choir-altos? choir-tenors violins"},
		{"Tenöre|Bässe|Violinen 1", "choir-tenors choir-basses? violins-1"},
		{"Celli|Bässe", "cellos double-basses?"},
		{"Trombones|Bass|Timpani", "trombone tuba? timpani"},
		{"S.|A.|T.|B.|Violin I", "choir-sopranos? choir-altos? choir-tenors? choir-basses? violins-1"},
		{"Violin II|A.|Violoncello|B.", "violins-2 violas? cellos double-basses?"},
		{"Solo S.|Solo T.|Chor", "solo-voice? solo-voice? choir"},
		{"Staff 1|Flute|Part A|", "plain? flute plain? plain?"},
		{"Flute|Kl. Flöte|Oboe", "flute piccolo oboe"},
		{"Altos", "choir-altos?"},
		{"Soprano solo|Tenor solo|Bass solo|Violin I", "solo-voice solo-voice solo-voice? violins-1"},
		{"Violin I|Violin II|Viola|Violoncello", "violin? violin? viola? cello?"},
		{"Clarinet|Vl. 1|Vl. 2|Bratsche|Vc.", "clarinet violin? violin? viola? cello?"},
		{"Violins I|Violins II|Violas|Cellos", "violins-1 violins-2 violas cellos"},
		{"Violin I|Violin II|Viola|Violoncello|Contrabass", "violins-1 violins-2 violas cellos double-basses"},
		{"Violin I|Horn|Viola", "violins-1 horn violas"},
		{"Violin I|Violin II|Viola div.|Violoncello", "violins-1 violins-2 violas cellos"},
		{"Flute|Oboe|Clarinet|Violin I|Violin II|Viola|Violoncello", "flute oboe clarinet violins-1 violins-2 violas cellos"},
		{"Violoncello|Bass solo", "cellos double-bass?"},
	} {
		var got []string
		for _, s := range scored(t, strings.Split(c.score, "|")...) {
			profile := s.Profile
			if s.Doubt != "" {
				profile += "?"
			}
			if s.Doubt != "" && s.Why == "" || slices.Contains(s.Else, s.Profile) {
				t.Errorf("%s: %+v", c.score, s)
			}
			got = append(got, profile)
		}
		if text := strings.Join(got, " "); text != c.want {
			t.Errorf("%s:\n%s, want\n%s", c.score, text, c.want)
		}
	}
	altos := scored(t, "Violons 2", "Altos", "Violoncelles")[1]
	if want := `the name "Altos", as it stands between "Violons 2" and "Violoncelles"`; altos.Why != want || !slices.Contains(altos.Else, "choir-altos") {
		t.Errorf("%+v, want %s", altos, want)
	}
}

// A section that divides is shared out among the parts of it that the score has.
func TestSectionsDivide(t *testing.T) {
	l := library(t)
	usual := func(profile string) int {
		p, err := l.Resolve(profile)
		if err != nil {
			t.Fatal(err)
		}
		return p.Players
	}
	for _, c := range []struct{ score, want string }{
		{"Violins I div. a|Violins I div. b|Violins II", "6 6 10"},
		{"Violin I div. a|Violin I div. b|Violin I div. c", "4 4 4"},
		{"Double Bass div. 1|Double Bass div. 2", "3 2"},
		{"Double Bass div. b", "2"},
		{"Viola 1|Viola 2|Cello", "4 4 6"},
		{"Viola 1|Cello 1|Cello 2|Cello 3", "8 2 2 2"},
		{"Violas div.|Cellos div. a 2", "8 6"},
		{"Violas div.|Violas div.", "8 8"},
		{"Viola solo|Violas", "1 8"},
		{"Horn 1|Horn 2|Horns 3.4", "1 1 2"},
		{"Soprano 1|Soprano 2", "5 5"},
	} {
		var got []string
		for _, s := range scored(t, strings.Split(c.score, "|")...) {
			n, by := s.Players(usual)
			if by == "" || n > 1 && n < usual(s.Profile) && !strings.HasSuffix(by, "of a divided section") {
				t.Errorf("%s: %d by %q", c.score, n, by)
			}
			got = append(got, fmt.Sprint(n))
		}
		if text := strings.Join(got, " "); text != c.want {
			t.Errorf("%s: %s players, want %s", c.score, text, c.want)
		}
	}
}
