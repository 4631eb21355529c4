package musicxml

import (
	"cmp"
	"slices"
	"strings"

	"swellbox/expr"
)

// maxFrameSigns bounds the signs of a measure; further ones are ignored. Staves repeat each other's.
const maxFrameSigns = 64

// sign adds a sign to a measure, once for all parts that have it.
func (r *page) sign(f *frame, at int64, kind expr.SignKind, value float64) {
	for _, s := range f.signs {
		if s.at == at && s.kind == kind {
			return
		}
	}
	if len(f.signs) < maxFrameSigns {
		f.signs = append(f.signs, signMark{at, kind, value})
		r.marks++
	}
}

// signed are the signs in the order in which they are played.
func (fs frames) signed(order []played) []expr.Sign {
	var signs []expr.Sign
	for _, o := range order {
		for _, s := range fs[o.measure].signs {
			signs = append(signs, expr.Sign{Beat: quarters(o.at + s.at), Kind: s.kind, Value: s.value})
		}
	}
	slices.SortStableFunc(signs, func(a, b expr.Sign) int {
		return cmp.Or(cmp.Compare(a.Beat, b.Beat), cmp.Compare(a.Kind, b.Kind))
	})
	return signs
}

// signWords are the beginnings of words that tell players of time, by what they ask for. The
// first that is found decides, so that "poco ritenuto" slows down and "tempo I" is no tempo of
// its own. Languages: Italian, German, French.
var signWords = []struct {
	kind  expr.SignKind
	words []string
}{
	{expr.PaceBack, []string{"a tempo", "tempo i", "tempo primo", "in tempo", "im tempo", "erstes tempo", "au mouv", "1er mouv", "tempo giusto"}},
	{expr.DieAway, []string{"calando", "smorz", "morendo", "perdend", "mancando"}},
	{expr.SlowDown, []string{"rit.", "rit", "rall", "slentando", "allarg", "zurückhalt", "langsamer", "cédez", "retenu", "meno mosso",
		"stentando", "più lento", "piu lento", "meno", "plus lent"}},
	{expr.HurryOn, []string{"accel", "string", "stretto", "più mosso", "piu mosso", "più allegro", "piu allegro", "più presto", "piu presto",
		"affrett", "schneller", "incalzando", "pressez", "piu moto", "più moto", "più vivo", "piu vivo"}},
	{expr.FreeTime, []string{"ad lib", "recit", "a piacere", "cadenza", "rubato"}},
	{expr.Stirred, []string{"anim", "agitat", "con fuoco", "con anima", "appassionat"}},
	{expr.Calm, []string{"tranquil", "sostenut", "espress", "dolce", "pesante"}},
	{expr.GrowWord, []string{"cresc"}},
	{expr.FadeWord, []string{"dim", "decresc"}},
}

// paceWords are tempos by words, in quarter notes a minute, beside [tempoWords] (ours, as there).
var paceWords = []struct {
	word      string
	perMinute float64
}{
	{"sehr langsam", 45}, {"langsam", 56}, {"sehr innig", 76}, {"sehr rasch", 168}, {"sehr bewegt", 160},
	{"äußerst bewegt", 176}, {"sehr schnell", 176}, {"schnell", 144}, {"rasch", 144}, {"lent", 54}, {"vif", 150},
	{"allegro molto", 152}, {"allegro assai", 152}, {"allegro con", 148}, {"allegro vivace", 156}, {"vivo", 160},
}

// signOf reads words for what they ask of the time. Words of change are found anywhere, as
// in "un poco ritenuto"; a tempo only where the words begin with it.
func signOf(words string) (expr.SignKind, float64, bool) {
	words = strings.ToLower(strings.Join(strings.Fields(words), " "))
	for _, s := range signWords {
		for _, w := range s.words {
			if begins(words, w) {
				return s.kind, 0, true
			}
		}
	}
	for _, p := range paceWords {
		if rest, ok := strings.CutPrefix(words, p.word); ok && (rest == "" || rest[0] < 'a' || rest[0] > 'z' || strings.Contains(p.word, " ")) {
			return expr.PaceWord, p.perMinute, true
		}
	}
	if m, ok := tempoOf(words); ok && m.kind == named {
		return expr.PaceWord, m.value, true
	}
	return 0, 0, false
}

// begins reports whether one of some words begins with a beginning; "rit" is not in "spirito",
// and "ritmo" is no ritardando.
func begins(words, beginning string) bool {
	for from := 0; ; {
		i := strings.Index(words[from:], beginning)
		if i < 0 {
			return false
		}
		at := from + i
		if (at == 0 || !letter(words[at-1])) && !strings.HasPrefix(words[at:], "ritm") {
			return true
		}
		from = at + 1
	}
}

func letter(b byte) bool { return b >= 'a' && b <= 'z' || b >= 0x80 }
