package acoustics

// Lookup is the instrument of a name as the built-in profiles use it: "flute",
// "violins-1", "horn". The name of a family finds a usual member of it, so that a
// profile of any other name can be looked up by its family. Names of what makes any
// sound ("plain", "other") are not found.
func Lookup(name string) (*Instrument, bool) {
	in, ok := byName[name]
	return in, ok
}

// RangeOf is where an instrument plays: that of its own row or, for the name of a family, from
// the lowest note of its members to the highest. Nothing is known of percussion, whose keys
// stand for other things than pitch or are written octaves from where they sound.
func RangeOf(name string) (low, high Pitch, known bool) {
	in, ok := byName[name]
	if !ok || in.Family == "percussion" {
		return 0, 0, false
	}
	if in.Name == name {
		return in.Low, in.High, true
	}
	low, high = in.Low, in.High
	for _, member := range all {
		if member.Family == in.Family {
			low, high = min(low, member.Low), max(high, member.High)
		}
	}
	return low, high, true
}

// Instruments are all instruments, in the order of a score, a copy.
func Instruments() []*Instrument { return append([]*Instrument(nil), all...) }

var all, byName = func() (all []*Instrument, byName map[string]*Instrument) {
	byName = map[string]*Instrument{}
	for _, rows := range [][]Instrument{woodwindRows, brassRows, percussionRows, keyboardRows, voiceRows, stringRows} {
		for i := range rows {
			all = append(all, &rows[i])
			byName[rows[i].Name] = &rows[i]
		}
	}
	for _, a := range aliases {
		byName[a.name] = byName[a.stands]
	}
	return all, byName
}()
