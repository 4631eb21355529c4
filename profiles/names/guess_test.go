package names_test

import (
	"strings"
	"testing"

	"swellbox/profiles"
	"swellbox/profiles/names"
)

func TestGuessByName(t *testing.T) {
	for profile, called := range map[string]string{
		"piccolo":            "Piccolo|Picc.|Flauto piccolo|Kleine Flöte|Kl. Fl.|Petite Flûte|Ottavino|Piccolo 1",
		"flute":              "Flute|Flutes 1.2|Fl. I|Flauti|Flöte|Floete 2|Flöten|Flûte|Grande Flûte|Gr. Fl.|FLUTE 1|Flute 2 (doubling Piccolo)|Flo\u0308te",
		"alto-flute":         "Alto Flute|A. Fl.|Altflöte|Flauto contralto|Flûte alto|Flauto in sol|Bass Flute",
		"oboe":               "Oboe|Oboe 1|Ob. 2|Oboi|Hautbois|Hb.|Hoboe|Oboe d'amore",
		"cor-anglais":        "Cor anglais|Cor Anglais 1|English Horn|Eng. Hn.|E. H.|E.H.|Corno inglese|C. ingl.|C.I.|Englischhorn|Engl. Hr.|C. A.|Cor Angl.",
		"clarinet":           "Clarinet|Clarinet in Bb 1|Clarinet in B♭|Bb Clarinet|B♭ Clarinet 2|Cl. 1|Kl. in B|B-Klarinette|Kl. (A)|Clarinetti in A|Clarinetto in Si♭|Clarinette en si bémol|Klarinette in A|Clarinet in B flat|Basset Horn|Corno di bassetto|A Clarinet",
		"clarinet-e-flat":    "Clarinet in Eb|E♭ Clarinet|Clarinet in E flat|E-flat Clarinet|Es-Klarinette|Kl. in Es|Klarinette in Es|Clarinetto in Mi b|Clarinette en mi bémol|Petite clarinette|Clarinetto piccolo|Piccolo Clarinet|Eb Cl.|Clarinet in D",
		"bass-clarinet":      "Bass Clarinet|Bass Clarinet in Bb|B. Cl.|Bcl.|Clarinetto basso|Clarinette basse|Bassklarinette|Cl. basso|Contrabass Clarinet",
		"bassoon":            "Bassoon|Bsn. 1|Bn.|Fagotto|Fagotti I.II|Fg.|Fag. 2|Fagott|Basson|Bassons",
		"contrabassoon":      "Contrabassoon|Contra-bassoon|Double Bassoon|Cbsn.|C. Bn.|Contrafagotto|Controfagotto|C. Fag.|Cfg.|Kontrafagott|K.-Fg.|Contrebasson",
		"alto-saxophone":     "Alto Saxophone|Alto Sax|A. Sax.|Saxophone alto|Altsaxophon|Sax contralto|Saxophone|Alto Saxophone in Eb",
		"soprano-saxophone":  "Soprano Sax|Saxophone soprano|Sopransaxophon",
		"tenor-saxophone":    "Tenor Saxophone|Tenor Sax 2|Saxophone ténor|Tenorsaxophon|T. Sax.",
		"baritone-saxophone": "Baritone Sax|Bari Sax|Saxophone baryton",
		"woodwind":           "Woodwinds|Holzbläser|Legni|Bois|Recorder|Alto Recorder|Bass Recorder",

		"horn":          "Horn|Horn in F 1|Horns 1.3|Hn. 2|French Horn|F Horn|F. Hn.|Corno|Corni in Fa|Cor|Cor en fa|Cors|Hörner|Hoerner|Hr. 3|Waldhorn|Hrn.|Wagner Tuba|Horn in E♭",
		"trumpet":       "Trumpet|Trumpet in Bb 1|Trumpet in C I|Trumpet (C) I|Trumpet C B|Tpt. 2|Tr.|Tr. in Si b|Tromba|Trombe|Tromba in Do|Trompete|Trompeten in B|Trompette|Trompette en ut|Piccolo Trumpet|Bass Trumpet|C Trumpet I|Muted Trumpet",
		"cornet":        "Cornet|Cornet à pistons|Flugelhorn|Flügelhorn|Flicorno|Posthorn|Soprano Cornet",
		"trombone":      "Trombone|Tenor Trombone 2|Tbn. 1|Trb.|Tromboni|Posaune|Posaunen|Pos. 2|Alto Trombone|Altposaune|Trombone alto",
		"bass-trombone": "Bass Trombone|B. Tbn.|Trombone basso|Bassposaune|B.-Pos.|Trombone basse|Contrabass Trombone|Cimbasso|Kontrabassposaune",
		"tuba":          "Tuba|Tba.|Tb.|Bass Tuba|Basstuba|Kontrabasstuba|F-Tuba|Ophicleide",
		"brass":         "Brass|Brass Section|Blechbläser|Ottoni|Cuivres|Euphonium|Tenor Horn|Tenorhorn",

		"timpani":       "Timpani|Timp.|Timpano|Timbales|Pauken|Pk.|Kettledrums",
		"glockenspiel":  "Glockenspiel|Glock.|Campanelli|Jeu de timbres|Glsp.|Orchestra Bells",
		"xylophone":     "Xylophone|Xyl.|Xilofono|Silofono|Xylophon",
		"marimba":       "Marimba|Mar.|Bass Marimba",
		"vibraphone":    "Vibraphone|Vib.|Vibrafono|Vibraphon",
		"tubular-bells": "Tubular Bells|T. Bells|Chimes|Campane|Cloches|Glocken|Röhrenglocken",
		"crotales":      "Crotales|Antique Cymbals|Cymbales antiques|Crot.",
		"percussion":    "Percussion|Perc. 1|Bass Drum|B. D.|Gran Cassa|G.C.|Grosse caisse|Große Trommel|Gr. Tr.|Snare Drum|S.D.|Side Drum|Kleine Trommel|Kl. Tr.|Kl. Trommel|Caisse claire|Tamburo militare|Cymbals|Piatti|Becken|Triangle|Trgl.|Triangolo|Tam-tam|Tambourine|Tamburo basco|Schlagzeug|Wind Chimes|Tenor Drum|Castanets|Frusta|Cow Bells|Steel Drums",
		"drum-kit":      "Drum Kit|Drumset|Drums",
		"celesta":       "Celesta|Cel.|Celeste|Célesta",
		"piano":         "Piano|Pf.|Pno.|Pianoforte|Klavier|Klav.|Flügel|Acoustic Grand Piano",
		"keyboard":      "Electric Piano|Keyboard",
		"organ":         "Organ|Org.|Organo|Orgel|Orgue|Harmonium|Church Organ",
		"harpsichord":   "Harpsichord|Hpschd.|Cembalo|Clavicembalo|Clavecin",
		"harp":          "Harp|Harp 2|Hp.|Arpa|Arpe|Harfe|Hfe.|Hf.|Harpe|Orchestral Harp",
		"plucked":       "Lute|Mandolin|Theorbo",
		"plain":         "Guitar|Classical Guitar|Chitarra|Gitarre|Bass Guitar|Electric Bass|E-Bass|Accordion",

		"choir":          "Choir|Chorus|Coro|Chor|Chœur|Choeur|Choir Aahs",
		"choir-sopranos": "Soprano|Sopranos|Soprani|Sopran|Soprano 1",
		"choir-altos":    "Alto|Altos|Contralto|Alt|Alti",
		"choir-tenors":   "Tenor|Tenors|Tenöre|Ténors|Tenori",
		"choir-basses":   "Choir Bass|Bass Voices",
		"solo-voice":     "Voice|Canto Voce|Singstimme|Mezzo-soprano|Baritone|Soprano solo|Solo Tenor|Alto I Solo|Countertenor",

		"violins":           "Violins|Violin|Violini|Violinen|Geigen|Violons|Vln.|Vl.|Violins I & II|Violin III",
		"violins-1":         "Violin I|Violins 1|Vl. I|Vln. 1|Vln1|Violine 1|1. Violinen|Violini I|Violini primi|Erste Geigen|First Violins|1st Violins|Premiers violons|Violons I|VIOLIN I|Vni I",
		"violins-2":         "Violin II|Violins 2|Vl. II|Vln. 2|Violine 2|2. Violinen|Violini secondi|Zweite Violinen|Second Violins|2nd Violins|Violons II|Vn. II",
		"violas":            "Viola|Violas|Viole|Vla.|Va.|Vle.|Bratsche|Bratschen|Br.",
		"cellos":            "Cello|Cellos|Celli|Violoncello|Violoncelli|Violoncelle|Vc.|Vlc.|Vcl.|Violoncello e Basso|Vc. & Cb.",
		"double-basses":     "Double Bass|Double Basses|Contrabass|Contrabasso|Contrabbassi|Kontrabass|Kontrabässe|Contrebasse|Cb.|Kb.|D.B.|C.B.|K.-B.|String Bass|Bass|Basses|Bässe|Bassi",
		"violin":            "Solo Violin|Violin solo|Violino solo|Violon solo|Vl. I solo|Fiddle|Violine (Solist)",
		"viola":             "Solo Viola|Viola solo|Viola d'amore",
		"cello":             "Solo Cello|Violoncello solo|Viola da gamba|Viole de gambe",
		"double-bass":       "Double Bass Solo|Contrabbasso solo",
		"strings":           "Strings|String Ensemble 1|Archi|Streicher|Cordes|Str.",
		"solo-strings":      "Solo Strings",
		"pizzicato-strings": "Pizzicato Strings|Violins pizz.|Vc. pizz.|Pizz.",
		"tremolo-strings":   "Tremolo Strings|Violin I trem.|Strings tremolo",
	} {
		for name := range strings.SplitSeq(called, "|") {
			for _, h := range []names.Hint{{Track: name}, {Instrument: name}, {Track: "Staff 3", Instrument: name}} {
				if got, why := register(t).Guess(h); got != profile {
					t.Errorf("Guess(%+v) = %s (%s), want %s", h, got, why, profile)
				}
			}
		}
	}
}

func TestGuessWeighsNameAndProgram(t *testing.T) {
	with := func(track string, program int) names.Hint {
		return names.Hint{Track: track, Program: program, HasProgram: true}
	}
	for _, c := range []struct {
		hint names.Hint
		want string
	}{
		{with("Oboe 1", 41), "oboe"}, // a name beats the program
		{with("Track 7", 41), "violins"},
		{with("", 61), "horn"},
		{with("Alto", 42), "violas"}, // French
		{with("Altos", 42), "violas"},
		{with("Alto", 53), "choir-altos"},
		{with("Alto", 66), "alto-saxophone"},
		{with("Bass", 44), "double-basses"},
		{with("Bass", 33), "plain"},
		{with("Basses", 53), "choir-basses"},
		{with("Alto 1 solo", 42), "solo-voice"}, // settled by the name itself
		{with("Tr.", 57), "trumpet"},
		{with("Cor", 70), "cor-anglais"},
		{with("Cor", 61), "horn"},
		{names.Hint{Track: "Alto", Instrument: "Viola"}, "violas"}, // the plainer of two names
		{names.Hint{Track: "Track 1", Instrument: "Oboe"}, "oboe"},
		{names.Hint{Track: "Oboe", Instrument: "Flute"}, "oboe"},
		{names.Hint{Channel: 10}, "drum-kit"},
		{names.Hint{Channel: 10, Program: 41, HasProgram: true}, "drum-kit"},
		{names.Hint{Channel: 10, Track: "Harp"}, "harp"},
		{names.Hint{Channel: 9, Program: 41, HasProgram: true}, "violins"},
		{names.Hint{Program: 41}, "plain"}, // no program: the number is not meant
		{with("", 0), "plain"},
		{with("", 129), "plain"},
		{with("", -1), "plain"},
		{names.Hint{}, "plain"},
		{names.Hint{Track: "Staff 1"}, "plain"},
		{names.Hint{Track: strings.Repeat("é", 300)}, "plain"},
	} {
		if got, why := register(t).Guess(c.hint); got != c.want {
			t.Errorf("Guess(%+v) = %s (%s), want %s", c.hint, got, why, c.want)
		}
	}
}

// A part that goes from arco to pizzicato and to tremolo by its program is one
// instrument all the time: its profile has these ways of playing.
func TestGuessKeepsTheInstrument(t *testing.T) {
	l, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	for track, want := range map[string]string{
		"Violin I": "violins-1", "Kontrabass": "double-basses", "Solo Violin": "violin", "Viola": "violas",
	} {
		for _, program := range []int{41, 45, 46, 49} {
			got, _ := register(t).Guess(names.Hint{Track: track, Program: program, HasProgram: true})
			if got != want {
				t.Errorf("%q with program %d: %s, want %s", track, program, got, want)
			}
		}
		p, err := l.Resolve(want)
		if err != nil {
			t.Fatal(err)
		}
		if !p.HasProgram(45-1) || !p.HasProgram(46-1) {
			t.Errorf("%s has no tremolo or no pizzicato to be called by program", want)
		}
	}
	for track, want := range map[string]string{
		"Violins pizz.": "pizzicato-strings", "": "pizzicato-strings", "Harp": "harp", "Flute": "flute",
	} {
		if got, _ := register(t).Guess(names.Hint{Track: track, Program: 46, HasProgram: true}); got != want {
			t.Errorf("%q with program 46: %s, want %s", track, got, want)
		}
	}
}

// The orchestral programs of General MIDI 1 by their numbers from 1, from memory.
func TestGuessByProgram(t *testing.T) {
	want := map[int]string{
		1: "piano", 8: "keyboard", 9: "celesta", 10: "glockenspiel", 12: "vibraphone", 13: "marimba", 14: "xylophone", 15: "tubular-bells",
		20: "organ", 25: "plain", 33: "plain",
		41: "violins", 42: "violas", 43: "cellos", 44: "double-basses", 45: "tremolo-strings", 46: "pizzicato-strings", 47: "harp", 48: "timpani",
		49: "strings", 50: "strings", 51: "strings", 52: "strings", 53: "choir", 54: "choir", 55: "choir",
		57: "trumpet", 58: "trombone", 59: "tuba", 60: "trumpet", 61: "horn", 62: "brass",
		65: "soprano-saxophone", 66: "alto-saxophone", 67: "tenor-saxophone", 68: "baritone-saxophone",
		69: "oboe", 70: "cor-anglais", 71: "bassoon", 72: "clarinet", 73: "piccolo", 74: "flute", 128: "plain",
	}
	for program, profile := range want {
		if got, why := register(t).Guess(names.Hint{Program: program, HasProgram: true}); got != profile {
			t.Errorf("program %d: %s (%s), want %s", program, got, why, profile)
		}
	}
}

func FuzzGuess(f *testing.F) {
	l := library(f)
	f.Add("Violin I", "Solo Violin", 41, 1)
	f.Add("in", "en mi b", 0, 10)
	f.Add("\xff♭ E", "E\u0301 flat in", -1, 0)
	f.Fuzz(func(t *testing.T, track, instrument string, program, channel int) {
		h := names.Hint{Track: track, Instrument: instrument, Program: program, HasProgram: true, Channel: channel}
		profile, why := register(t).Guess(h)
		if _, ok := l.Lookup(profile); !ok {
			t.Errorf("Guess(%+v) = %q, which is not built in", h, profile)
		}
		if why == "" || strings.ContainsAny(why, "\n\r\x00\x1b") {
			t.Errorf("Guess(%+v) says why as %q, want one line", h, why)
		}
		if again, _ := register(t).Guess(names.Hint{Track: strings.ToUpper(track), Instrument: instrument, Program: program, HasProgram: true, Channel: channel}); ascii(track) && again != profile {
			t.Errorf("%q is %s, in capitals %s", track, profile, again)
		}
	})
}

func ascii(s string) bool { return !strings.ContainsFunc(s, func(c rune) bool { return c > 127 }) }
