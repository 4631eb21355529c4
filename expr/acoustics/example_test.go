package acoustics_test

import (
	"fmt"

	"swellbox/expr/acoustics"
)

// A low flute at mp beside three trombones at f, in row 10 of a large hall.
func Example() {
	room, _ := acoustics.LookupRoom("large")
	scene := acoustics.NewScene(acoustics.Hall(room, acoustics.Row(10)))
	seating := acoustics.Seatings()[0]

	flute, _ := acoustics.Lookup("flute")
	trombone, _ := acoustics.Lookup("trombone")
	sources := []acoustics.Source{
		{Instrument: flute, PitchHz: 293.66, DynamicDB: acoustics.MP, Seat: seating.Seat(flute)},
		{Instrument: trombone, Players: 3, PitchHz: 174.61, DynamicDB: acoustics.F, Seat: seating.Seat(trombone)},
	}
	out := make([]acoustics.Sound, len(sources))
	scene.Hear(sources, out)
	for i, sound := range out {
		fmt.Printf("%s: %.0f dB, %s\n", sources[i].Instrument.Name, sound.LevelDB, sound.State)
	}
	fmt.Println(flute.RegisterAt(acoustics.PitchOf(293.66)).Name)
	// Output:
	// flute: 56 dB, covered
	// trombone: 77 dB, dominant
	// dull, cold
}
