package live

import "swellbox/expr"

// FootSwitch is an incoming controller that switches all parts between raw and
// shaped. It is not passed on.
type FootSwitch struct {
	Controller int  // 1..119; 0 for none
	Channel    int  // 1..16; 0 for any
	Hold       bool // raw while it is pressed; otherwise each press switches over
}

// foot is the foot switch as it stands.
type foot struct {
	FootSwitch
	pressed bool
}

// takes reports whether an event is the foot switch's, and whether that presses it.
func (f *foot) takes(e *expr.Event) (its, press bool) {
	if f.Controller == 0 || e.Len != 3 || e.Msg[0]&0xF0 != 0xB0 || int(e.Msg[1]) != f.Controller ||
		f.Channel != 0 && f.Channel != e.Channel()+1 {
		return false, false
	}
	return true, e.Msg[2] >= 64
}

// press presses the switch or lets it go, and gives the side to play from then on, if it is to
// change. now is what the parts play, all in all.
func (f *foot) press(down bool, now string) (side expr.Side, changed bool) {
	f.pressed = down
	switch {
	case f.Hold && down, !f.Hold && down && now == expr.Shaped.String():
		return expr.Raw, true
	case !f.Hold && !down:
		return 0, false
	}
	return expr.Shaped, true
}
