// Package profiles reads the three documents that a user may write: the profile,
// which says how one instrument is played and how its sampler answers; the
// seating, which says which part plays with which profile; and the controller map,
// which says how one sampler answers for many profiles.
//
// The two calls that matter are [Library.Resolve], which makes an
// [expr.Profile] of a name, and [ParseSeating]. [Guess] finds a profile for a
// part that no seating names. The profiles of the orchestra are built in.
// [Schema] is the JSON Schema of each kind of document, for editors.
//
// Documents are YAML and strict: a key that is not known, a number outside its
// range, a tag, an anchor or a second document in the file is an error, and all
// errors of a document are reported at once, each with its place. Every number
// is in a physical unit, which is part of its key: depth_low_cents, onset_ms.
//
// The package knows nothing of ports, clocks or the inside of the engine.
package profiles
