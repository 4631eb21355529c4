// Package balance reports who is in front in a piece, who is heard and who is lost: in a hall,
// and in a studio where sections are recorded apart.
//
// [Analyse] reads the written music of a file: velocities by the profile's reading,
// swells by controllers 7 and 11, or the hairpins of a score. It hears every bar at [slicesPerBar] moments with
// swellbox/expr/acoustics and says of each part how loud and how audible it was, and
// which [State] it was in. Where a tune is behind it warns: what, why, and what to try, of which
// all was tried in the model.
//
// A bar's level is the energy mean over the moments at which the part sounds, unweighted. Its
// strength is what the shaped performance aims at: the same, weighted as the ear weighs, with each
// note where the instrument usually plays, unless the profile follows its registers too. Its
// audibility is the median of those moments, the lower one of two: for half of the
// time the part was no more audible than that. The median, and not the mean, since a
// moment in which the others pause does not make up for the rest of a bar; and what
// never makes a moment more audible, as one more masker, never makes a bar so.
//
// # Who is in front
//
// A listener follows lines. The parts that go together in a bar in unison or octaves are one
// (swellbox/expr/lines), as audible as they are together: nobody masks whom he doubles. Each part draws the ear by its notes, in log
// odds by the table of swellbox/expr/voices: height, movement, novelty, solo against mass, seat. It stands out by
// that and by [perDB] for each dB over what all others mask; the line in front is the one that stands out
// most of those that are not masked. What a part's share is of all that is followed is its audibility as a
// voice, in dB: 0 is all of it. A part is
//
//   - alone if nobody else sounds for most of its time;
//   - lost if it is masked, and so is its whole line;
//   - in front if it plays the line in front, and is not masked;
//   - heard if it plays one that stands out nearly as much, by [nearFront];
//   - colour if it is masked in one of these by those who play it with it: one hears the line;
//   - background otherwise.
//
// # What is worth a warning
//
// Who has the tune is told from the notes, whatever their loudness: of each line, how likely it is that it has. Who is in front
// is told from what is heard. A fault is where the two disagree: the tune is behind, by as many dB as each
// line is short of being followed, counted by how likely it has the tune, and a little more for each dB
// by which another line is marked louder. Where a score marks somebody *solo*, that part has the tune. What is covered besides is meant to be: accompaniment that is
// missed only when it is gone. Bars in which the tune is behind, with the same parts, are one stretch. It earns a warning
// if it is behind by what is [needed] or more, in the mean of the bars. The rules are ours, and simple.
//
// Of one place no more than [maxWarnings] cases are told, those first that are the
// longest and the deepest under, each with the stretches that are like it.
//
// It is a model, not a rehearsal.
package balance
