package acoustics

// Lines tells of the sources that were heard last how those are heard together that have the same number in
// line, from 0 to before the length of out: as one part, which none of those who play it masks. Its Masker is the
// source, of another line, that masks most there. Where nothing sounds, a line is silent. line must be as long as the
// sources were.
func (s *Scene) Lines(line []int, out []Sound) {
	for len(s.lines) < len(out) {
		s.lines = append(s.lines, part{})
	}
	all := s.lines[:len(out)]
	for i := range all {
		all[i] = part{}
	}
	strength := 0.0
	for i, n := range line {
		p, of := &all[n], &s.parts[i]
		p.power.plus(&of.power)
		p.masks.plus(&of.masks)
		p.level += of.level
		p.strength += of.strength
		strength += of.strength
	}
	shareOut(all)
	for n := range all {
		sound, band := all[n].heard(strength)
		sound.Masker = -1
		if band >= 0 {
			most := quietPower[band]
			for i, of := range line {
				if masks := s.parts[i].masks[band]; of != n && masks > most {
					most, sound.Masker = masks, i
				}
			}
		}
		out[n] = sound
	}
}
