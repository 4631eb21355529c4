// Package console is the page beside the score: the daemon serves it to a browser on the same
// machine. What sounds, how each part goes, how it would stand in a hall, a comparison at one
// level, blind if one likes, and the habits of each part, heard as they are moved.
//
// [Serve] answers on the loopback only. Whoever wants to steer must know a token that is made
// anew at each start and stands behind the # of the printed address, where no browser sends it
// to anybody; or the pass, which a page was given for the token and which outlives a restart.
//
// One goroutine looks at the daemon twenty times a second while a page is open, and writes what
// it saw once for all pages. A page that does not keep up misses looks and delays nobody. The API
// is described in page/openapi.yaml, against which the tests hold it.
//
// The package has no musical decisions, and knows of the daemon only what is [Played].
package console
