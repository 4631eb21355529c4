package acoustics

import "maps"

// Distances of a hall, m: common practice, no published source.
const (
	firstRow = 4.0 // from the conductor to the first row
	rowPitch = 0.95
)

// The seats are the middles of the sections on a stage of about 17 by 12 m.
// Which section sits where: common practice, no published source. The metres
// are ours, after the area of 1.3 to 2 m² that a player needs (from memory).
const seatSource = "places: common practice, no published source; metres: ours"

var seatings = []Seating{
	{
		Name:   "violins-together",
		Means:  "both violin sections on the conductor's left, violas and cellos on the right, basses behind the cellos",
		Source: seatSource,
		seats: with(behindStrings, map[string]Position{
			"violins-1": {-4.5, 1.5}, "violins-2": {-2.5, 4}, "violas": {2.5, 4}, "cellos": {4.5, 1.5}, "double-basses": {7, 4.5},
			"violins": {-3.5, 2.8}, "strings": {0, 3.5},
		}),
	},
	{
		Name:   "violins-facing",
		Means:  "first and second violins on opposite sides of the conductor, cellos and violas between them, basses behind the first violins",
		Source: seatSource,
		seats: with(behindStrings, map[string]Position{
			"violins-1": {-4.5, 1.5}, "violins-2": {4.5, 1.5}, "violas": {2.5, 4}, "cellos": {-2.5, 4}, "double-basses": {-7, 4.5},
			"violins": {0, 1.5}, "strings": {0, 3.5},
		}),
	},
}

// behindStrings is the same in both seatings. Metres: ours.
var behindStrings = map[string]Position{
	"violin": {-1.5, 1}, "viola": {1.5, 2}, "cello": {1.5, 1}, "double-bass": {3, 2}, "solo-voice": {-1, 0.5},
	"piccolo": {-2.5, 6.5}, "flute": {-1, 6.5}, "alto-flute": {-2.5, 6.5}, "oboe": {1, 6.5}, "cor-anglais": {2.5, 6.5},
	"clarinet": {-1, 8}, "clarinet-e-flat": {-2.5, 8}, "bass-clarinet": {-3, 8}, "bassoon": {1, 8}, "contrabassoon": {2.5, 8},
	"woodwind": {0, 7},
	"horn":     {-5, 8.5}, "cornet": {0, 9.5}, "trumpet": {1.5, 9.5}, "trombone": {4, 9.5}, "bass-trombone": {5, 9.5}, "tuba": {6, 9.5},
	"brass":   {2, 9.5},
	"timpani": {0, 11}, "percussion": {-4, 11},
	"plucked": {-6.5, 5.5}, "keyboard": {-7.5, 7},
	"voice":  {0, 13.5},
	"middle": {0, 6},
}

// with is one map with the seats of another.
func with(seats, more map[string]Position) map[string]Position {
	seats = maps.Clone(seats)
	maps.Copy(seats, more)
	return seats
}
