package musicxml

import (
	"fmt"
	"strings"
	"testing"
)

func metronomeOf(content string) string { return direction("<metronome>" + content + "</metronome>") }

// What stands among quarter notes, and how long each of them lasts in ms.
func TestTempo(t *testing.T) {
	q := quarter("C", 4)
	words := func(s string) string { return direction("<words>" + s + "</words>") }
	beat := func(unit string) string { return "<beat-unit>" + unit + "</beat-unit>" }
	const dot = "<beat-unit-dot/>"
	for _, c := range []struct{ name, content, want string }{
		{"nothing", q, "500"},
		{"a number", `<sound tempo="100"/>` + q + `<sound tempo="60"/>` + q, "600 1000"},
		{"within a note", q + `<sound tempo="60"/><backup><duration>1</duration></backup>` + noteOf("C", 4, 2, ""), "500 1500"},
		{"an offset of the page", `<direction><direction-type><words>x</words></direction-type><offset>1</offset><sound tempo="60"/></direction>` + q + q, "1000 1000"},
		{"an offset of the sound", `<direction><direction-type><words>x</words></direction-type><offset sound="yes">1</offset><sound tempo="60"/></direction>` + q + q, "500 1000"},
		{"half notes", metronomeOf(beat("half")+"<per-minute>50</per-minute>") + q, "600"},
		{"dotted eighths", metronomeOf(beat("eighth")+dot+"<per-minute>80</per-minute>") + q, "1000"},
		{"double dotted", metronomeOf(beat("quarter")+dot+dot+"<per-minute>60</per-minute>") + q, "571.4"},
		{"about", metronomeOf(beat("quarter")+"<per-minute>ca. 60-66</per-minute>") + q, "1000"},
		{"quarter as eighth before", `<sound tempo="60"/>` + q + metronomeOf(beat("eighth")+beat("quarter")) + q, "1000 500"},
		{"quarter as dotted quarter before", `<sound tempo="60"/>` + q + metronomeOf(beat("quarter")+dot+beat("quarter")) + q, "1000 1500"},
		{"sound goes before sign", "<direction><direction-type><metronome>" + beat("quarter") + `<per-minute>60</per-minute></metronome></direction-type><sound tempo="120"/></direction>` + q, "500"},
		{"sound goes before a later sign", `<sound tempo="120"/>` + metronomeOf(beat("quarter")+"<per-minute>60</per-minute>") + q, "500"},
		{"a word", words("Largo ma non troppo") + q, "1200"},
		{"a longer word", words("Allegretto") + q + words("Allegro con brio") + q + words("Larghetto") + q, "535.7 454.5 952.4"},
		{"other words", words("largely") + q + words("dolce") + q, "500 500"},
		{"a word beside a number", `<direction><direction-type><words>Largo</words></direction-type><sound tempo="60"/></direction>` + q, "1000"},
		{"a word where another direction has a number", words("rit.") + `<sound tempo="60"/>` + q + q, "1000 1000"},
		{"slower and back", q + words("ritardando") + strings.Repeat(q, 2) + words("a tempo") + q, "500 516.1 533.3 500"},
		{"slower, and it stays", words("molto rit.") + strings.Repeat(q, 10), "516.1 533.3 551.7 571.4 592.6 615.4 640 666.7 666.7 666.7"},
		{"faster and home", `<sound tempo="60"/>` + q + `<sound tempo="120"/>` + q + words("accel.") + q + words("Tempo I") + q, "1000 500 484.8 1000"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := read(t, measureOf(c.content))
			wantWarning(t, d, "")
			var got []string
			for i := range d.Score.Notes {
				n := &d.Score.Notes[i]
				got = append(got, fmt.Sprintf("%.4g", (n.Off-n.On).Seconds()*1000))
			}
			if s := strings.Join(got, " "); s != c.want {
				t.Errorf("the notes last %s ms, want %s", s, c.want)
			}
		})
	}
}

// In a repeated section the tempo is that which is written there.
func TestTempoIsWrittenWhereItHolds(t *testing.T) {
	d := read(t, scoreOf(`<measure number="1">`+quarter("C", 4)+`</measure><measure number="2"><sound tempo="60"/>`+quarter("C", 4)+signs[":|"]+`</measure>`))
	for i, want := range []float64{0, 0.5, 1.5, 2} {
		if got := d.Score.Bars[i].At.Seconds(); got != want {
			t.Errorf("bar %d is at %g s, want %g", i, got, want)
		}
	}
	if got := d.Score.End.Seconds(); got != 3 {
		t.Errorf("the end is at %g s, want 3", got)
	}
}

// Time signatures, and the numbers of bars.
func TestBars(t *testing.T) {
	time := func(content string) string { return "<attributes><time>" + content + "</time></attributes>" }
	of := func(beats string, unit int) string {
		return fmt.Sprintf("<beats>%s</beats><beat-type>%d</beat-type>", beats, unit)
	}
	for _, c := range []struct{ name, measures, want string }{
		{"none", `<measure number="1"/>`, "1:4/4@0-4"},
		{"waltz", `<measure number="1">` + time(of("3", 4)) + `</measure><measure number="2"/>`, "1:3/4@0 2:3/4@3-6"},
		{"added beats", `<measure number="1">` + time(of("3+2 + 2", 8)) + `</measure>`, "1:7/8@0-3.5"},
		{"added signatures", `<measure number="1">` + time(of("2", 4)+of("3", 8)) + `</measure>`, "1:7/8@0-3.5"},
		{"no metre", `<measure number="1">` + time("<senza-misura/>") + noteOf("C", 4, 9, "") + `</measure>`, "1:9/4@0-9"},
		{"a rest without metre", `<measure number="1">` + time("<senza-misura/>") + `<note><rest measure="yes"/><duration>6</duration></note></measure>`, "1:6/4@0-6"},
		{"upbeat", `<measure number="1" implicit="yes">` + quarter("C", 4) + `</measure><measure number="1"/>`, "0:4/4@0 1:4/4@1-5"},
		{"a bar in two", `<measure number="7">` + noteOf("C", 4, 3, "") + `</measure><measure number="X1" implicit="yes">` + quarter("C", 4) + `</measure><measure number="8"/>`, "7:4/4@0 8:4/4@4-8"},
		{"one bar more", `<measure number="7">` + noteOf("C", 4, 4, "") + `</measure><measure number="X1" implicit="yes">` + noteOf("C", 4, 4, "") + `</measure><measure number="8"/>`, "7:4/4@0 7:4/4@4 8:4/4@8-12"},
		{"names", `<measure number="12a"/><measure number="b"/>`, "12:4/4@0 13:4/4@4-8"},
		{"a rest too long", `<measure number="1">` + time(of("3", 4)) + `<note><rest measure="yes"/><duration>4</duration></note></measure>`, "1:3/4@0-3"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := read(t, scoreOf(c.measures))
			wantWarning(t, d, "")
			var got []string
			for _, b := range d.Score.Bars {
				got = append(got, fmt.Sprintf("%d:%d/%d@%g", b.Number, b.Beats, b.Unit, b.Beat))
			}
			if s := fmt.Sprintf("%s-%g", strings.Join(got, " "), d.Score.End.Seconds()*2); s != c.want {
				t.Errorf("bars %s, want %s", s, c.want)
			}
		})
	}
}
