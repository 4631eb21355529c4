// Package lines finds which parts of a score go together: in unison, octaves apart, or, as a
// looser tie, in thirds and sixths. A listener does not hear "Bassoon 2": parts that move together
// are heard as one line for as long as they do.
//
// [Read] lays the parts over steps of half a quarter note. Two parts go together in a step if in
// a stretch of two quarter notes around it, before it, or after it they begin [agree] of their notes together,
// and sound alike for as much of the time that both sound. So a wrong note, a turn or
// a divisi of one of them does not part them, and a passage in which they part does. A part that
// rests is in no line; what the other does meanwhile is not held against them. Of a chord any
// note may be the line's: it is played divisi, or by one who plays double stops.
//
// That notes which begin together and move in parallel fuse into one stream is published (Bregman 1990,
// Auditory Scene Analysis; Huron 2001, Music Perception 19, 1-64; both from memory). The limits are
// ours, chosen on the doublings that analysts' tables of 24 symphonic movements give.
package lines
