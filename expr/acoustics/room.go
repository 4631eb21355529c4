package acoustics

import "math"

// Room is a hall by its size and its reverberation.
type Room struct {
	Name   string
	Volume float64 // m³
	RT     float64 // reverberation time at mid frequencies, occupied, s
	Source string
}

// sabine is the constant of Sabine's formula in s/m.
//
// Source: L. L. Beranek, "Concert Hall Acoustics-2008", JAES 56 (2008), section 1.1.
const sabine = 0.161

// SabineRT is the reverberation time in s of a room of volume m³ with an absorbing
// surface of absorption m² (S·α) and an attenuation by the air of air 1/m:
// T = 0.161·V/(Sα + 4mV).
func SabineRT(volume, absorption, air float64) float64 {
	return sabine * volume / (absorption + 4*air*volume)
}

// Absorption is the room's equivalent absorption area in m² at f Hz: by Sabine
// from RT up to 1 kHz, and with what the air absorbs in addition above.
func (r *Room) Absorption(f float64) float64 {
	return sabine*r.Volume/r.RT + 4*r.Volume*(airLoss(max(f, 1000))-airLoss(1000))
}

// Radius is the distance in m at which the direct sound of a source without
// directivity equals the reverberant: √(A/16π).
func (r *Room) Radius() float64 { return math.Sqrt(r.Absorption(1000) / (16 * math.Pi)) }

// Field is the way in which reverberant sound spreads.
type Field uint8

const (
	// Diffuse is the classical field, the same everywhere: 4/A.
	Diffuse Field = iota
	// Receding falls with the distance as the sound needs time to arrive: M.
	// Barron's revised theory (Auditorium Acoustics, 2nd ed., app. B.3, quoted
	// in a secondary copy whose constant lacks the factor T): 4/A·e^(-0.04·r/T).
	Receding
)

// reverberant is the gain in power from sound power to reverberant sound at r m.
func (r *Room) reverberant(field Field, distance, f float64) float64 {
	return 4 / r.Absorption(f) * math.Exp(-field.recession(r, f)*distance)
}

// recession is by how much the logarithm of the reverberant power falls, 1/m.
func (field Field) recession(r *Room, f float64) float64 {
	if field == Diffuse {
		return 0
	}
	return 0.04 / SabineRT(r.Volume, r.Absorption(f), 0)
}

// direct is the gain in power from sound power to direct sound at distance m.
func direct(distance float64) float64 { return 1 / (4 * math.Pi * distance * distance) }

// LevelDB is the level in dB at distance m of a source of power dB re 1 pW whose
// directivity factor is q, at 1 kHz: Lp = Lw + 10·log10(q/4πr² + 4/A), or with
// Barron's field in place of 4/A.
func (r *Room) LevelDB(powerDB, q, distance float64, field Field) float64 {
	return powerDB + db10(q*direct(distance)+r.reverberant(field, distance, 1000))
}

// StrengthDB is the room's G at distance m: the level of a source without directivity
// re its level at 10 m in the open (ISO 3382-1).
func (r *Room) StrengthDB(distance float64, field Field) float64 {
	return r.LevelDB(0, 1, distance, field) - db10(direct(10))
}

// airLoss is the attenuation of sound by the air in 1/m of power at f Hz, linear
// in log frequency and log loss between the rows, held beyond them.
func airLoss(f float64) float64 {
	rows := airAbsorption
	for i := 1; i < len(rows); i++ {
		if f < rows[i].hz || i == len(rows)-1 {
			t := within(math.Log(f), math.Log(rows[i-1].hz), math.Log(rows[i].hz))
			db := math.Exp(math.Log(rows[i-1].dbPerKm)*(1-t) + math.Log(rows[i].dbPerKm)*t)
			return db / 1000 * math.Ln10 / 10
		}
	}
	return 0
}

// Rooms are the presets, from the smallest to the largest, a copy.
func Rooms() []Room { return append([]Room(nil), rooms...) }

// LookupRoom is the preset of a name: "chamber", "mid" or "large".
func LookupRoom(name string) (Room, bool) {
	for _, r := range rooms {
		if r.Name == name {
			return r, true
		}
	}
	return Room{}, false
}
