package readers_test

import (
	"slices"
	"strings"
	"testing"

	"swellbox/expr"
	"swellbox/proxy/study/readers"
)

func TestCompare(t *testing.T) {
	ours := []readers.Note{{0, 0, 480, 60}, {0, 480, 480, 62}, {1, 0, 960, 48}}
	theirs := []readers.Note{{0, 0, 480, 60}, {0, 480, 240, 62}, {1, 0, 960, 47}, {1, 0, 960, 49}}
	want := readers.Count{Scores: 1, Notes: 4, Identical: 1, Begun: 2}
	if got := readers.Compare(ours, theirs); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	want = readers.Count{Scores: 1, Whole: 1, Notes: 3, Identical: 3, Begun: 3}
	if got := readers.Compare(ours, ours); got != want {
		t.Errorf("with itself %+v, want %+v", got, want)
	}
}

// Of two notes on one key, a MIDI file ends the first one first.
func TestOursAsAFileTells(t *testing.T) {
	s := &expr.Score{Notes: []expr.Written{{Beat: 0, Length: 4, Key: 60}, {Beat: 1, Length: 1, Key: 60}}}
	want := []readers.Note{{0, 0, 960, 60}, {0, 480, 1440, 60}}
	if got := readers.Ours(s); !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

func note(step string, duration, more string) string {
	return "<note><pitch><step>" + step + "</step></pitch>" + duration + more + "</note>"
}

func TestStages(t *testing.T) {
	const one, two, three = "<duration>1</duration>", "<duration>2</duration>", "<duration>3</duration>"
	const start, stop = `<tie type="start"/>`, `<tie type="stop"/>`
	const metre = "<divisions>1</divisions><time><beats>2</beats><beat-type>4</beat-type></time>"
	for _, c := range []struct {
		name        string
		stage       readers.Stage
		given, want string
	}{
		{"nothing", readers.AsItStands, `<repeat direction="backward"/>`, `<repeat direction="backward"/>`},
		{"ways", readers.OnceThrough, `<repeat direction="backward"/><ending number="1" type="start">1.</ending><sound tempo="60" dacapo="yes"/><note time-only="2">`, `<sound tempo="60"/><note>`},
		{"a grace note", readers.Plain, metre + "<note><grace/></note>" + note("C", two, ""), metre + note("C", two, "")},
		{"a small note", readers.Plain, metre + "<note><cue/><pitch><step>C</step></pitch>" + two + "</note>", metre + "<note><cue/><rest/>" + two + "</note>"},
		{"ties that meet", readers.Plain, metre + note("C", one, start) + note("C", one, stop), metre + note("C", one, start) + note("C", one, stop)},
		{"ties that do not", readers.Plain, metre + note("C", one, start) + note("D", one, stop), metre + note("C", one, "") + note("D", one, "")},
		{"a rest past the bar line", readers.Plain, metre + note("C", one, "") + "<note><rest/>" + three + "</note><backup><duration>4</duration></backup>" + note("E", two, ""),
			metre + note("C", one, "") + "<note><rest/>" + one + "</note><backup>" + two + "</backup>" + note("E", two, "")},
	} {
		given, want := c.given, c.want
		if c.stage == readers.Plain {
			given, want = given+"</measure></part>", want+"</measure></part>"
		}
		if got := c.stage.Of(given); got != want {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, got, want)
		}
	}
	if got := len(readers.Stages()); got != 3 || strings.Contains(readers.Plain.String(), "%") {
		t.Errorf("%d stages", got)
	}
}
