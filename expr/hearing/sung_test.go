package hearing

import (
	"testing"

	"swellbox/expr"
	"swellbox/expr/voices"
)

// What the names of parts say of them.
func TestKinds(t *testing.T) {
	_, kinds := SungBy(&expr.Score{Parts: []string{"Flute 1", "Flute 2", "F Horn I", "F Horn II", "English Horn", "Soprano solo", "Bass", "Bass Clarinet", "Violin 1 solo", "Viola"}})
	for i, want := range []voices.Kind{
		{Leads: true}, {}, {Leads: true, Brass: true}, {Brass: true}, {Leads: true}, {Leads: true, Sings: true}, {Leads: true, Sings: true},
		{Leads: true}, {Leads: true}, {Leads: true, Middle: true},
	} {
		if kinds[i] != want {
			t.Errorf("part %d is %+v, want %+v", i, kinds[i], want)
		}
	}
}
