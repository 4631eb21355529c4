package names_test

import (
	"testing"

	"swellbox/profiles/names"
)

// instrumentNames are names as they stand before the staves of printed scores: common
// practice, no published source. Each line is of one language: the names, then what
// plays and how many; 0 is as many as the section usually has.
var instrumentNames = map[string][]struct {
	name, profile string
	players       int
}{
	"German": {
		{"Kl. Flöte", "piccolo", 1}, {"2 Kl. Flöten", "piccolo", 2}, {"Große Flöten 1. 2.", "flute", 2}, {"3 Flöten", "flute", 3},
		{"Hoboen", "oboe", 2}, {"Oboe 1.2.", "oboe", 2}, {"Engl. Horn", "cor-anglais", 1}, {"Klarinetten (B) 1.2.", "clarinet", 2},
		{"Kl. (Es)", "clarinet-e-flat", 1}, {"Baßklarinette", "bass-clarinet", 1}, {"Fagotte", "bassoon", 2}, {"2 Fagotte", "bassoon", 2},
		{"Kontrafag.", "contrabassoon", 1}, {"1. 2. Horn (F)", "horn", 2}, {"Hörner 1–4", "horn", 4}, {"4 Hörner in F", "horn", 4},
		{"3. 4. Hr.", "horn", 2}, {"Trp. (B) 1.2.3.", "trumpet", 3}, {"Trompeten", "trumpet", 2}, {"Posaune 1.2.", "trombone", 2},
		{"Drei Posaunen", "trombone", 3}, {"Baßposaune", "bass-trombone", 1}, {"Baßtuba", "tuba", 1}, {"Pauken", "timpani", 1},
		{"Kl. Trommel", "percussion", 1}, {"Harfe 1. 2.", "harp", 2}, {"1. Solovioline", "violin", 1}, {"Solobratsche", "viola", 1},
		{"1. Violinen", "violins-1", 0}, {"2. Violinen", "violins-2", 0}, {"Bratschen", "violas", 0}, {"Violoncelle", "cellos", 0},
		{"Kontrabässe", "double-basses", 0}, {"Sopran-Solo", "solo-voice", 1}, {"Chorbaß", "choir-basses", 0}, {"1. Violine, 1. Pult", "violins-1", 2},
	},
	"Italian": {
		{"Ottavino", "piccolo", 1}, {"2 Flauti", "flute", 2}, {"Flauti I. II.", "flute", 2}, {"Flauti a 2", "flute", 2},
		{"Oboi", "oboe", 2}, {"Corno inglese", "cor-anglais", 1}, {"Clarinetti in La", "clarinet", 2}, {"Clar. I, II in Si b", "clarinet", 2},
		{"Clarone", "bass-clarinet", 1}, {"Due Fagotti", "bassoon", 2}, {"Corni in Fa I–IV", "horn", 4}, {"Corno I. II.", "horn", 2},
		{"Trombe I e II", "trumpet", 2}, {"Tr.be", "trumpet", 2}, {"Tr.ni", "trombone", 3}, {"Tre Tromboni", "trombone", 3},
		{"Arpe", "harp", 2}, {"Violini primi", "violins-1", 0}, {"Viole", "violas", 0}, {"V.celli", "cellos", 0}, {"C.bassi", "double-basses", 0},
	},
	"French": {
		{"Petite Flûte", "piccolo", 1}, {"2 Grandes Flûtes", "flute", 2}, {"Hautbois 1 et 2", "oboe", 2}, {"Cor angl.", "cor-anglais", 1},
		{"Clarinettes en si♭", "clarinet", 2}, {"Cl. basse", "bass-clarinet", 1}, {"2 Bons", "bassoon", 2}, {"Cors 1.2.3.4", "horn", 4},
		{"1er et 2e Cors", "horn", 2}, {"Cornets à pistons", "cornet", 2}, {"Trompettes en ut 1.2.3", "trumpet", 3}, {"3 Trombones", "trombone", 3},
		{"Timbales", "timpani", 1}, {"Gr. Caisse", "percussion", 1}, {"2 Harpes", "harp", 2}, {"1ers Violons", "violins-1", 0}, {"2ds Violons", "violins-2", 0},
		{"Vcelles", "cellos", 0}, {"Contrebasses", "double-basses", 0}, {"Violon solo", "violin", 1},
	},
	"English": {
		{"Piccolo", "piccolo", 1}, {"2 Flutes", "flute", 2}, {"Flutes 1 & 2", "flute", 2}, {"Oboes", "oboe", 2}, {"Eng. Hn.", "cor-anglais", 1},
		{"Clarinets in B♭ 1, 2", "clarinet", 2}, {"Eb Clarinet", "clarinet-e-flat", 1}, {"Bassoons 1/2", "bassoon", 2}, {"Contrabsn.", "contrabassoon", 1},
		{"Horns 1-4", "horn", 4}, {"Horns 1, 2", "horn", 2}, {"Horns 1.3", "horn", 2}, {"Horn in F 3", "horn", 1}, {"F Horns a 2", "horn", 2},
		{"Trumpet in C 2", "trumpet", 1}, {"2 Tenor Trombones", "trombone", 2}, {"Bass Trombone", "bass-trombone", 1}, {"4 Timpani", "timpani", 1},
		{"Bass Drum", "percussion", 1}, {"Tubular Bells", "tubular-bells", 1}, {"Violin I div. a", "violins-1", 6}, {"Violas div. b", "violas", 4},
		{"Cellos div. a 3", "cellos", 0}, {"2 Solo Violins", "violin", 2}, {"Solo S.", "solo-voice", 1}, {"Violins I & II", "violins", 22},
	},
	"Spanish": {
		{"Flautín", "piccolo", 1}, {"2 Flautas", "flute", 2}, {"Corno inglés", "cor-anglais", 1}, {"Clarinetes en Si b", "clarinet", 2},
		{"Fagotes", "bassoon", 2}, {"Trompas 1-4", "horn", 4}, {"Trompetas en Do", "trumpet", 2}, {"Caja", "percussion", 1}, {"Bombo", "percussion", 1},
		{"Platillos", "percussion", 1}, {"Violines I", "violins-1", 0}, {"Violonchelos", "cellos", 0}, {"Contrabajos", "double-basses", 0},
	},
}

func TestInstrumentNames(t *testing.T) {
	l := library(t)
	usual := func(profile string) int {
		p, err := l.Resolve(profile)
		if err != nil {
			t.Fatal(err)
		}
		return p.Players
	}
	read := 0
	for language, list := range instrumentNames {
		for _, c := range list {
			read++
			want := c.players
			if want == 0 {
				want = usual(c.profile)
			}
			s := register(t).Suppose(names.Hint{Track: c.name})
			if players, by := s.Players(usual); s.Profile != c.profile || players != want || by == "" {
				t.Errorf("%s %q: %s, %d players by %q, want %s, %d", language, c.name, s.Profile, players, by, c.profile, want)
			}
		}
	}
	if read < 100 {
		t.Errorf("only %d names were read", read)
	}
}
