// Package reading is the kit with which documents are read and their faults told.
//
// A [Key] is one key of a mapping: its name, what it means, what its value may be in
// the words of JSON Schema, and how the value is read. [Mapping] reads the keys of a
// mapping, and a [Reader] gathers all that is wrong with the document, each [Problem]
// with its place. [ReadFile] and [Reader.Tree] bring a file that may hold anything so
// far that its keys can be read.
//
// The package does not know which documents there are.
package reading
