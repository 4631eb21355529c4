package smf

import "testing"

func TestText(t *testing.T) {
	for _, c := range []struct{ payload, want string }{
		{"", ""},
		{"Violin I", "Violin I"},
		{"Flöte", "Flöte"},
		{"Fl\xf6te", "Flöte"},
		{"\x80\xff", "\u0080ÿ"},
		{"Horn\x00\x00", "Horn"},
		{"Fl\xf6te\x00", "Flöte"},
		{"a\x00b", "a\x00b"},
	} {
		if got := Text([]byte(c.payload)); got != c.want {
			t.Errorf("Text(%q) = %q, want %q", c.payload, got, c.want)
		}
	}
}

func TestTrackAccessors(t *testing.T) {
	tracks := golden()["format1.mid"].Tracks
	if got := tracks[1].Name(); got != "Violine I" {
		t.Errorf("name %q", got)
	}
	if got := tracks[2].Name(); got != "Flöte" {
		t.Errorf("name in Latin-1 %q", got)
	}
	if got := tracks[1].Instrument(); got != "Violin" {
		t.Errorf("instrument %q", got)
	}
	if got := tracks[2].Device(); got != "second player" {
		t.Errorf("device %q", got)
	}
	if got, ok := tracks[2].Port(); got != 1 || !ok {
		t.Errorf("port %d, %v; want 1", got, ok)
	}
	if got := tracks[0].Instrument() + tracks[0].Device(); got != "" {
		t.Errorf("a track that names neither instrument nor device gives %q", got)
	}
	if got, ok := tracks[0].Port(); ok {
		t.Errorf("a track without port gives %d", got)
	}
	twice := Track{Events: []Event{meta(0, MetaPort, ""), meta(0, MetaTrackName, "first"), meta(9, MetaTrackName, "second")}}
	if got := twice.Name(); got != "first" {
		t.Errorf("of two names %q", got)
	}
	if got, ok := twice.Port(); ok {
		t.Errorf("an empty port gives %d", got)
	}
}

func TestMeta(t *testing.T) {
	if kind, payload, ok := at(0, "FF0341").Meta(); kind != 3 || string(payload) != "A" || !ok {
		t.Errorf("%X %q %v, want 3, A", kind, payload, ok)
	}
	for _, data := range []string{"", "FF", "903C40", "F07EF7", "F7FF03"} {
		if kind, payload, ok := at(0, data).Meta(); ok {
			t.Errorf("%s is no meta event, but gives %X %X", data, kind, payload)
		}
	}
}
