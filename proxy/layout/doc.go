// Package layout lays text out for a terminal of any width: sentences as paragraphs
// ([Text], [Wrap]) and figures as tables ([Table]). Nothing of what it is given is left
// out: what is too wide goes on in the next line, columns that have no room follow in a
// second table under the first.
//
// Widths are in columns, a character each; [Narrowest] is the least that it lays out for.
package layout
