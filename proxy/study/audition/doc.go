// Package audition is a small additive synthesiser for hearing a performance
// where no sampler is at hand: the demo renders its raw and its shaped
// take with it. It is not a sampler and no substitute for one; it is
// plain on purpose, and the same for every take.
//
// [Render] turns one performance, a time-ordered slice of events, into a [Take]:
// 48 kHz stereo samples. [CommonGain] then finds one gain for all takes that
// are to be compared, and [Take.WriteWAV] writes each with it.
//
// It hears MIDI as a sampler does:
//
//   - Level: velocity, channel volume (7) and expression (11) each answer with
//     40·log10(v/127) dB and add (General MIDI 2 and DLS). Controllers 1, 7 and 11
//     take their fine half from 33, 39 and 43. Volume starts at 100.
//   - Every instrument is equally loud at equal numbers: a note in the middle of
//     its range, at mf, has the same power under the K-weighting of ITU-R BS.1770.
//     That is how a player without a balance sounds; the balance must come in the
//     numbers. A section is as loud as a soloist.
//   - Brightness follows velocity and expression, louder being brighter, and
//     controller 74: 64 is neutral, 0 and 127 are 12 dB less and more at 3 kHz.
//     Neither changes the level.
//   - Vibrato, where the instrument has it: modulation (1) is 0..100 cents peak to
//     peak, linear; 77 adds to that, 64 adding nothing and 127 all 100 cents. 76
//     moves the rate by (v-64)/32 Hz from the instrument's own.
//   - Pitch bend in the range set by RPN 0, pedal (64), 120, 121 (RP-015) and 123.
//   - Programs, banks, pan (10), vibrato delay (78), pressure, system messages and
//     Data events are ignored.
//
// The same input gives the same samples, however many processors take part.
package audition
