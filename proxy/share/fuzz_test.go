package share

import (
	"encoding/json"
	"reflect"
	"testing"

	"swellbox/profiles/pack"
)

// Whatever a server lists is refused, or is packages of which every word can be
// shown, and used in a path; and the list says the same when it is written again.
func FuzzIndex(f *testing.F) {
	honest, err := json.Marshal(Index{form, []pack.Offer{{
		Name: "winds", Version: "1.0.0", Author: "Anna Example", Licence: "CC0-1.0", Size: 2048,
		SHA256: "913b839660b92b0cd66e1adba90367a5c7273daa114932a1ca22912d7da3ec44", KeyID: "4DB59FC3ADC5C35D",
	}}})
	if err != nil {
		f.Fatal(err)
	}
	if _, err := parseIndex(honest); err != nil {
		f.Fatal(err)
	}
	for _, seed := range []string{string(honest), "", "{}", `{"swellbox_share":1,"packages":[{}]}`, `{"swellbox_share":1,"packages":null}`} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		x, err := parseIndex(b)
		if err != nil {
			return
		}
		for _, o := range x.Packages {
			if err := o.Check(); err != nil {
				t.Errorf("listed is %+v: %v", o, err)
			}
		}
		again, err := json.Marshal(x)
		if err != nil {
			t.Fatal(err)
		}
		if y, err := parseIndex(again); err != nil || !reflect.DeepEqual(x, y) {
			t.Errorf("%q says %+v when written again, %v", b, y, err)
		}
	})
}
