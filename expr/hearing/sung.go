package hearing

import (
	"math"
	"slices"
	"strings"

	"swellbox/expr"
	"swellbox/expr/voices"
)

// SungBy are the parts of a score as [voices.ReadParts] takes them, and what kind they are by their names.
func SungBy(s *expr.Score) (parts [][]voices.Sung, kinds []voices.Kind) {
	count := len(s.Parts)
	for i := range s.Notes {
		count = max(count, int(s.Notes[i].Part)+1)
	}
	parts, kinds = make([][]voices.Sung, count), make([]voices.Kind, count)
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.Calls || n.Channel == expr.DrumChannel || math.IsNaN(n.Beat) || !(n.Length > 0) || n.Marks&expr.Grace != 0 {
			continue
		}
		sung := voices.Sung{From: n.Beat, To: n.Beat + n.Length, Key: int(n.Key), LevelDB: voices.LevelDB(n.Velocity)}
		parts[n.Part] = append(parts[n.Part], sung)
	}
	known := map[string]bool{}
	for i, name := range s.Parts {
		name = plain(name)
		has := func(words ...string) bool {
			return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(name, w) })
		}
		kinds[i] = voices.Kind{
			Leads: name != "" && !known[name],
			Sings: slices.Contains(strings.Fields(name), "solo") && !has("violin", "viola", "cello") ||
				slices.Contains([]string{"soprano", "alto", "tenor", "bass", "baritone", "mezzo soprano", "choir", "voice"}, name),
			Brass:  has("horn", "trumpet", "trombone", "tuba", "timpani", "drum") && !has("english", "basset"),
			Middle: has("viola", "contrabass", "double bass", "bassoon"),
		}
		known[name] = true
	}
	return parts, kinds
}

// plain is a part's name without what tells it from others alike.
func plain(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !('a' <= r && r <= 'z') && r < 128 })
	for i := len(words) - 1; i >= 0; i-- {
		switch w := words[i]; {
		case strings.Trim(w, "iv") == "", len(w) == 1: // I, II, III, IV
			words = append(words[:i], words[i+1:]...)
		}
	}
	return strings.Join(words, " ")
}
