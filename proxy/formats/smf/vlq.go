package smf

// maxVLQ is the greatest variable-length quantity: four bytes of seven bits (SMF 1.0).
const maxVLQ = 0x0FFFFFFF

// appendVLQ appends v, at most maxVLQ, in as few bytes as it needs.
func appendVLQ(dst []byte, v uint32) []byte {
	for shift := 21; shift > 0; shift -= 7 {
		if v >= 1<<shift {
			dst = append(dst, byte(v>>shift)|0x80)
		}
	}
	return append(dst, byte(v&0x7F))
}

// readVLQ reads the quantity at the start of b and the number of its bytes. The
// number is 0 if b ends within it, and -1 if it goes on after its fourth byte.
func readVLQ(b []byte) (v uint32, n int) {
	for i, c := range b {
		if i == 4 {
			return 0, -1
		}
		v = v<<7 | uint32(c&0x7F)
		if c < 0x80 {
			return v, i + 1
		}
	}
	return 0, 0
}
