// Package store keeps the history of a folder of documents: of a user's own
// profiles, or of those that a studio shares on a network drive or in a git
// checkout. The calls that matter are [Store.Save] and [Store.History].
//
// Beside the documents lies a folder .history. Each content is in it once, under
// its SHA-256, and each change is one small file of its own, named by its own
// SHA-256: two machines never write different bytes to one file, and what was
// damaged or half copied is seen and left out. A change names the changes that it
// rests on. The order of a history follows those links, and only then the clock,
// so that a clock set back reorders nothing. A history may be committed to git with
// its documents: its files never conflict.
//
// This package removes nothing from a history, and replaces nothing that stands
// in a document before it is in the history: what an editor wrote past the store
// is taken in first.
//
// Two who save at once are kept apart by a lock file, made exclusively. Network
// drives are not trusted to do that well, and a lock whose owner has died is
// broken after a while. So the lock is for order only. What keeps changes from
// being lost is that
//
//   - each is in the history before it is in the document;
//   - the document is exchanged, and the bytes that it held are looked at
//     afterwards (on Linux and a file system that can exchange; elsewhere they are
//     looked at just before);
//   - changes that rest on the same one are merged by whoever sees them next.
//
// What is relied on is that a rename within a folder replaces a file whole. What
// cannot be helped is an editor that writes in place at the very moment of an
// exchange: its last bytes go into the file that has just been replaced.
package store
