package match

import (
	"math"
	"strconv"
	"strings"
)

// info takes info(NAME,VALUE). A value may hold commas.
func (r *reader) info(rest string) error {
	name, value, _ := strings.Cut(rest, ",")
	value = strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(strings.TrimSpace(value), "."), ")"))
	text := value
	if text == "-" {
		text = ""
	}
	switch name {
	case "matchFileVersion":
		if !strings.HasPrefix(value, "1.") && !strings.HasPrefix(value, "5.") {
			return r.fault("version %.20q of the match format is not read: convert the file to 1.0.0", value)
		}
		r.Version = value
	case "piece":
		r.Piece = text
	case "composer":
		r.Composer = text
	case "performer":
		r.Performer = text
	case "midiClockUnits":
		return r.clock(&r.units, value, 1<<20, "ticks a quarter note")
	case "midiClockRate":
		return r.clock(&r.rate, value, 1<<28, "microseconds a quarter note")
	case "timeSignature":
		if len(r.Metres) == 0 {
			r.metre(strings.Trim(value, "[]"), math.Inf(-1))
		}
	}
	return nil
}

// clock takes what a tick is: without that no time in the file means anything.
func (r *reader) clock(to *int64, value string, most int64, what string) error {
	n, err := strconv.ParseInt(value, 10, 64)
	if err != nil || n < 1 || n > most {
		return r.fault("%.20q is no number of %s: correct the line", value, what)
	}
	*to = n
	return nil
}

// property takes scoreprop(NAME,VALUE,BAR:BEAT,OFFSET,ONSET) and meta(NAME,VALUE,BAR,ONSET).
func (r *reader) property(rest string) error {
	rest = strings.TrimSuffix(strings.TrimSuffix(rest, "."), ")")
	f := strings.Split(rest, ",")
	if f[0] != "timeSignature" {
		return nil
	}
	at, err := strconv.ParseFloat(strings.TrimSpace(f[len(f)-1]), 64)
	if err != nil || len(f) < 4 || math.Abs(at) > maxBeats {
		r.warn("a time signature without its place is left out")
		return nil
	}
	if len(r.Metres) == 1 && math.IsInf(r.Metres[0].At, -1) {
		r.Metres = r.Metres[:0] // the one in the heading had no place
	}
	if len(r.Metres) == maxMetres {
		return r.fault("there are over %d time signatures, which no piece has: the file is damaged, get it again", maxMetres)
	}
	r.metre(strings.Trim(f[1], "[]"), at)
	return nil
}

// metre takes a time signature: 6/8.
func (r *reader) metre(text string, at float64) {
	text, _, _ = strings.Cut(text, ",")
	above, below, _ := strings.Cut(text, "/")
	beats, err := strconv.Atoi(strings.TrimSpace(above))
	unit, err2 := strconv.Atoi(strings.TrimSpace(below))
	if err != nil || err2 != nil || beats < 1 || beats > 999 || unit < 1 || unit > 128 {
		r.warn("%.20q is no time signature and is left out", text)
		return
	}
	r.Metres = append(r.Metres, Metre{At: at, Beats: beats, Unit: unit})
}

// pedal takes sustain(TICK,VALUE) and soft(TICK,VALUE).
func (r *reader) pedal(which int, rest string) error {
	f, _, ok := fields(rest)
	if !ok || len(f) < 2 {
		r.warn("a pedal without time and value is left out")
		return nil
	}
	at, err := strconv.ParseInt(f[0], 10, 64)
	value, err2 := strconv.Atoi(f[1])
	if err != nil || err2 != nil || at < 0 || value < 0 || value > 127 {
		r.warn("a pedal is set to %.20q at %.20q and is left out", f[1], f[0])
		return nil
	}
	if len(r.foot[which]) == maxPedals {
		return r.fault("a pedal moves over %d times: the file is damaged, get it again", maxPedals)
	}
	r.foot[which] = append(r.foot[which], press{at: at, value: uint8(value)})
	return nil
}

// pair takes a note of the score, with what became of it: …)-note(…) or …)-deletion.
func (r *reader) pair(rest string) error {
	f, after, ok := fields(rest)
	if !ok || len(f) < 9 {
		r.warn("a note of the score does not have its nine values and is left out")
		return nil
	}
	n := ScoreNote{ID: strings.Clone(f[0]), Played: -1}
	key, ok := spelled(f[1], f[2])
	onset, err := strconv.ParseFloat(f[6], 64)
	end, err2 := strconv.ParseFloat(f[7], 64)
	if !ok || err != nil || err2 != nil || !(math.Abs(onset) <= maxBeats) || !(math.Abs(end) <= maxBeats) {
		r.warn("note %.40q of the score has no pitch or place that makes sense, and is left out", n.ID)
		return nil
	}
	n.Key, n.Onset, n.End = key, onset, max(end, onset)
	bar, _, _ := strings.Cut(f[3], ":")
	n.Bar, _ = strconv.Atoi(bar)
	r.attributes(&n, strings.Trim(f[8], "[]"))
	if _, twice := r.byID[n.ID]; twice {
		r.warn("note %.40q of the score comes a second time, and is left out", n.ID)
		return nil
	}
	if len(r.Score) == maxNotes {
		return r.fault("the score has over %d notes: split the file", maxNotes)
	}
	if note, ok := strings.CutPrefix(after, "-note("); ok {
		before := len(r.Played)
		if err := r.played(note, len(r.Score)); err != nil {
			return err
		}
		if len(r.Played) > before {
			n.Played = before
		}
	}
	r.byID[n.ID] = len(r.Score)
	r.Score = append(r.Score, n)
	return nil
}

// attributes takes what is written over a note: v1,staff1,staccato.
func (r *reader) attributes(n *ScoreNote, text string) {
	for text != "" && len(n.Marks) < 32 {
		var word string
		word, text, _ = strings.Cut(text, ",")
		switch word = strings.TrimSpace(word); {
		case word == "":
		case word == "grace":
			n.Grace = true
		case numbered(word, "staff", &n.Staff), numbered(word, "v", &n.Voice):
		default:
			n.Marks = append(n.Marks, r.word(word))
		}
	}
}

// word is a copy of a word, the same for the same word.
func (r *reader) word(w string) string {
	if have, ok := r.words[w]; ok {
		return have
	}
	w = strings.Clone(w)
	if len(r.words) < 1000 {
		r.words[w] = w
	}
	return w
}

// numbered takes the number of a word like staff2.
func numbered(word, prefix string, to *int) bool {
	digits, ok := strings.CutPrefix(word, prefix)
	if !ok {
		return false
	}
	n, err := strconv.ParseUint(digits, 10, 16)
	if err != nil {
		return false
	}
	*to = int(n)
	return true
}

// added takes a note that is not in the score.
func (r *reader) added(rest string) error { return r.played(rest, -1) }

// played takes a note of the performance: 1.x has ID,KEY,ON,OFF,VELOCITY,…, and 5.x
// ID,[STEP,ALTER],OCTAVE,ON,OFF,OFF WITH PEDAL,VELOCITY.
func (r *reader) played(rest string, score int) error {
	f, _, ok := fields(rest)
	spelt := r.Version[0] == '5'
	least := 5
	if spelt {
		least = 7
	}
	if !ok || len(f) < least {
		r.warn("a note of the performance does not have its %d values and is left out", least)
		return nil
	}
	id, on, off, velocity := f[0], f[2], f[3], f[4]
	key, err := strconv.ParseUint(f[1], 10, 7)
	good := err == nil
	if spelt {
		var k uint8
		k, good = spelled(f[1], f[2])
		key, on, off, velocity = uint64(k), f[3], f[4], f[6]
	}
	start, err := strconv.ParseInt(on, 10, 64)
	stop, err2 := strconv.ParseInt(off, 10, 64)
	v, err3 := strconv.ParseUint(velocity, 10, 7)
	if !good || err != nil || err2 != nil || err3 != nil || start < 0 || stop < start || v == 0 {
		r.warn("note %.40q of the performance has no pitch, time or velocity that makes sense, and is left out", id)
		return nil
	}
	if len(r.Played) == maxNotes {
		return r.fault("the performance has over %d notes: split the file", maxNotes)
	}
	r.Played = append(r.Played, Played{ID: strings.Clone(id), Key: uint8(key), Velocity: uint8(v), Score: score})
	r.ticks = append(r.ticks, tick{start, stop})
	return nil
}

// spelled is the MIDI note of [STEP,ALTER] and an octave.
func spelled(pitch, octave string) (uint8, bool) {
	step, alter, _ := strings.Cut(strings.Trim(pitch, "[]"), ",")
	if len(step) != 1 {
		return 0, false
	}
	place := strings.Index("C D EF G A B", strings.ToUpper(step))
	o, err := strconv.Atoi(octave)
	if place < 0 || step == " " || err != nil || o < -1 || o > 9 {
		return 0, false
	}
	key := place + 12*(o+1)
	switch strings.TrimSpace(alter) {
	case "", "n":
	case "#":
		key++
	case "b":
		key--
	case "##", "x":
		key += 2
	case "bb":
		key -= 2
	default:
		return 0, false
	}
	return uint8(key), key >= 0 && key <= 127
}

// fields splits what stands in parentheses at commas that are in no bracket, and gives what
// follows the closing parenthesis. ok is false where nothing closes them.
func fields(s string) (f []string, after string, ok bool) {
	depth, from := 0, 0
	for i := 0; i < len(s); i++ {
		switch s[i] {
		case '[', '(':
			depth++
		case ']':
			depth--
		case ',':
			if depth == 0 {
				f, from = append(f, strings.TrimSpace(s[from:i])), i+1
			}
		case ')':
			if depth == 0 {
				return append(f, strings.TrimSpace(s[from:i])), s[i+1:], true
			}
			depth--
		}
	}
	return nil, "", false
}
