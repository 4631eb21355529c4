// Package balance reports who is heard in a piece and who is covered: in a hall,
// and in a studio where sections are recorded apart.
//
// [Analyse] reads the written music of a file: velocities by the profile's reading,
// swells by controllers 7 and 11. It hears every bar at [slicesPerBar] moments with
// swellbox/expr/acoustics and says of each part how loud and how audible it was, and
// which [State] it was in. Of covered lines it warns: what, why, and what to try, of which
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
// Parts in unison or octaves mask one another, and are heard as one. So a part whose
// audibility is under 0 is covered, unless for most of that time others strike all its
// notes with it, octaves apart or not, and either are not masked themselves, or are all
// that masks it: then it is lost in its doubling. A part is alone if nobody else sounds
// for most of its time.
//
// # What is worth a warning
//
// Most of what is covered is meant to be: accompaniment that is missed only when it is
// gone. The rules are ours, and simple. Consecutive bars in which a part is covered are
// one stretch. It earns a warning if
//   - in half of its bars or more the part leads: its line changes pitch twice or more,
//     or once in a rhythm that is mostly its own; a figure that goes round and round
//     does not lead;
//   - it is [leastDB] under its threshold or more, in the mean of the bars;
//   - over the whole stretch, too, it would be covered without those who double it.
//
// Of one place no more than [maxWarnings] cases are told, those first that are the
// longest and the deepest under, each with the stretches that are like it.
//
// It is a model, not a rehearsal.
package balance
