// Package acoustics is the balance model: who is heard, on a stage in a hall or in
// a studio, and by how much.
//
// An [Instrument] radiates a sound power that depends on the written dynamic and
// the register, with a spectrum that brightens with it. A [Place] is a room with a
// listener in it, or a studio. A [Scene] puts any number of [Source]s into a place:
// [Scene.Hear] gives each part's level and how far it stands above what the
// others mask, and [Scene.TargetDB] the level at which a part should stand against
// the others.
//
// Two kinds of truth disagree, and the model keeps them apart. [Power] is what one
// player radiates in all directions (Meyer, Weinzierl). What arrives in the
// hall is another thing: the bell of the horn faces back ([Front]), the ear
// weighs dark sounds less ([WeightDB]), and players in an ensemble do not play their
// mark as they would alone: in piano all winds meet at one strength, in forte the
// brass stand over the wood-wind as Rimsky-Korsakov counts them. That last part is
// [Ensemble], in dB added to the power; it is no measurement but our fit of the
// heard result to his rules, for row 10 of the large room, and setting it to zero
// gives bare physics. There, in forte, a horn has 1 dB more power than a trumpet; its
// spectrum takes 1.6 dB, its bell 1.0 dB and its player 1.5 dB more, and it is heard
// 3 dB weaker: two horns are one trumpet.
//
// Units: dB re 1 pW for power, dB re 20 µPa for what is heard, metres, seconds, Hz,
// and for pitch also semitones from A4 (see [Pitch]). A written dynamic is in dB re mf
// on the scale of the marks (see [MarkDB]), the same for all instruments.
//
// The package is pure: no clock, no goroutine, no file. Every number stands in a
// file data_*.go with its source. It is a model, not a rehearsal.
package acoustics
