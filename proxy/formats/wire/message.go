package wire

// Length is how many bytes a message with this status byte has, status included:
// 1 to 3, or 0 for system exclusive, for what the standard leaves undefined
// and for a byte that is no status byte.
func Length(status byte) int {
	switch {
	case status < 0x80:
		return 0
	case status >= realTime:
		if defined(status) {
			return 1
		}
		return 0
	case status >= sysexStart:
		switch status {
		case timeCode, songSelect:
			return 2
		case songPlace:
			return 3
		case tune:
			return 1
		}
		return 0
	case status&0xE0 == 0xC0: // program change, channel pressure
		return 2
	}
	return 3
}

// Whole reports whether b is exactly one message: a defined status byte with all
// of its data, or F0, data and F7. Nothing else, not even a real-time byte, may
// stand in it.
func Whole(b []byte) bool {
	if len(b) == 0 {
		return false
	}
	data := b[1:]
	if b[0] == sysexStart {
		if len(b) < 2 || b[len(b)-1] != sysexEnd {
			return false
		}
		data = b[1 : len(b)-1]
	} else if n := Length(b[0]); n == 0 || n != len(b) {
		return false
	}
	for _, c := range data {
		if c >= 0x80 {
			return false
		}
	}
	return true
}

// defined reports whether the standard gives the status byte a meaning.
func defined(status byte) bool {
	return status != 0xF4 && status != 0xF5 && status != 0xF9 && status != 0xFD
}
