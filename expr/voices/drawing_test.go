package voices

import "testing"

// What a part draws does not depend on how loud it is written, nor on whether it trembles on its notes.
func TestDrawing(t *testing.T) {
	parts, kinds := singing(16, 8)
	p := ReadParts(parts, kinds)
	before := p.Drawing()
	count, steps := p.Size()
	for step := 4; step < steps-4; step++ {
		lead := 0
		if step >= 32 {
			lead = 2
		}
		for i := range count {
			if i != lead && before[step*count+i] >= before[step*count+lead] && (step < 28 || step > 36) {
				t.Errorf("step %d: part %d draws %g, the tune %g", step, i, before[step*count+i], before[step*count+lead])
			}
		}
	}
	for i := range parts[1] {
		parts[1][i].LevelDB += 20
	}
	var trembling []Sung
	for _, n := range parts[1] {
		for q := n.From; q < n.To; q += 0.25 {
			trembling = append(trembling, Sung{From: q, To: q + 0.25, Key: n.Key, LevelDB: n.LevelDB})
		}
	}
	parts[1] = trembling
	for i, x := range ReadParts(parts, kinds).Drawing() {
		if d := x - before[i]; d > 1e-6 || d < -1e-6 {
			t.Fatalf("place %d draws %g, and %g when it trembles", i, before[i], x)
		}
	}
}
