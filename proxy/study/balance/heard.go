package balance

// place is one of the two ways in which a piece is heard.
type place uint8

const (
	hall place = iota
	studio
	places
)

func (s place) String() string { return [...]string{"hall", "studio"}[s] }

// heardBar is the parts that sound in a bar, in score order.
type heardBar []heardPart

// heardPart is one part in one bar.
type heardPart struct {
	part      int
	line      int     // the first part of the line that it is in
	draws     float64 // log odds that it has the tune, by its notes
	solo      bool    // it is marked to be in front
	behind    float64 // by how much less it draws than the line that draws most
	leads     float64 // how likely its line has the tune, by what the notes of all draw, 0..1
	dynamicDB float64 // as it is written, mean while it sounds
	heard     [places]heard
}

// heard is how a part is heard over a number of moments.
type heard struct {
	levelDB, audibilityDB float64
	lineDB                float64 // audibility of its line, all who play it together
	shareDB               float64 // of what a listener follows
	aimDB                 float64 // see [ear.aimDB]; of a bar only
	state                 State
}
