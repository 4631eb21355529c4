package evidence

import (
	"bytes"
	"slices"
	"testing"

	"swellbox/profiles"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

// shown are the parts of the demonstration whose curves are drawn.
var shown = []string{"Flute 1", "Horns 1, 2", "Trumpet 1", "Piano", "Violins I", "Cellos"}

// TestManyPictures draws what each habit does by itself on the demonstration score, and the
// curves of some of its parts by all of them.
func TestManyPictures(t *testing.T) {
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	cast, piece := &perform.Cast{Library: lib}, demo.BuiltIn()
	solos, err := demo.EachHabit(t.Context(), piece, cast)
	if err != nil {
		t.Fatal(err)
	}
	all := solos[len(solos)-1]
	var parts []demo.Compared
	for _, r := range all.Report.Parts {
		profile, err := lib.Resolve(r.Profile)
		if err != nil {
			t.Fatal(err)
		}
		parts = append(parts, demo.Compared{Report: r, Profile: profile})
	}
	headroom := cast.Ensemble().HeadroomDB
	effects, err := demo.Effects(solos, parts, headroom)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := demo.EffectPicture(&b, demo.EffectView{Title: piece.Title + ": each habit alone", Bars: piece.Bars, End: piece.End, Part: piece.Tune, Effects: effects}); err != nil {
		t.Fatal(err)
	}
	compare(t, "habits.svg", b.Bytes())

	before, err := offline.NewTimeline(solos[0].File, 0)
	if err != nil {
		t.Fatal(err)
	}
	after, err := offline.NewTimeline(all.File, 0)
	if err != nil {
		t.Fatal(err)
	}
	views, _ := demo.Compare(before, after, parts, headroom)
	tempo := demo.Tempo(views, piece.Bars, piece.End)
	views = slices.DeleteFunc(views, func(v demo.PartView) bool { return !slices.Contains(shown, v.Name) })
	if len(views) != len(shown) {
		t.Fatalf("%d parts are there of %q", len(views), shown)
	}
	b.Reset()
	if err := demo.Curves(&b, demo.View{Title: demo.Title, Bars: piece.Bars, End: piece.End, Tempo: tempo, Parts: views}); err != nil {
		t.Fatal(err)
	}
	compare(t, "curves.svg", b.Bytes())
}
