// Package change edits, compares and merges profile documents as people wrote
// them. [Set] changes one value and leaves every other byte as it was; [Merge]
// joins what two people made of one document, key by key; [Diff] says in the
// words of music how two profiles differ.
//
// All three go through trees of keys and values, never lines: a document that
// was only laid out anew is not changed. An edit is made in the bytes of the
// document, at the place of the value, and what comes out is read again and
// compared with what was meant, so that no layout, however odd, can turn an
// edit into another one.
//
// The package knows nothing of files, histories or libraries.
package change
