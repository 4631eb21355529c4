package musicxml

import (
	"testing"

	"swellbox/expr"
)

func TestSignOf(t *testing.T) {
	for words, want := range map[string]expr.SignKind{
		"rit.": expr.SlowDown, "poco ritenuto": expr.SlowDown, "molto rall.": expr.SlowDown, "Meno mosso": expr.SlowDown,
		"a tempo": expr.PaceBack, "Tempo I": expr.PaceBack, "Tempo primo": expr.PaceBack,
		"smorz.": expr.DieAway, "accel.": expr.HurryOn, "più mosso": expr.HurryOn, "stringendo": expr.HurryOn,
		"Allegro con brio": expr.PaceWord, "Sehr langsam": expr.PaceWord, "Andante": expr.PaceWord,
		"con fuoco": expr.Stirred, "dolce": expr.Calm, "ad libitum": expr.FreeTime, "cresc.": expr.GrowWord, "decresc.": expr.FadeWord,
	} {
		if kind, _, ok := signOf(words); !ok || kind != want {
			t.Errorf("%q is %v %v, want %v", words, kind, ok, want)
		}
	}
	for _, words := range []string{"con spirito", "ritmico", "Klavier", "1", "", "pizz.", "talent"} {
		if kind, _, ok := signOf(words); ok {
			t.Errorf("%q is read as %v, want nothing", words, kind)
		}
	}
}
