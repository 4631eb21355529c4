package acoustics

// rooms by size. The two larger ones are halls of a published table: L. L.
// Beranek, Concert Halls and Opera Houses, 2nd ed. 2004, from memory.
var rooms = []Room{
	{"chamber", 4500, 1.5, "ours: between published halls for chamber music of 3000 to 6000 m³ and 1.4 to 1.7 s, from memory"},
	{"mid", 11400, 2.05, "Beranek 2004, a hall of 1546 seats, from memory"},
	{"large", 18750, 1.85, "Beranek 2004, a hall of 2625 seats, from memory"},
}

// airAbsorption is at 20 °C and 50 % humidity.
//
// Source: ISO 9613-1, from memory.
var airAbsorption = []struct{ hz, dbPerKm float64 }{
	{1000, 4.66}, {2000, 9.86}, {4000, 29.7}, {8000, 105}, {16000, 370}, // the last by the square of the frequency: ours
}
