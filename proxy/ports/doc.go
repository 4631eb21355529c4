// Package ports is the contract between those who send and receive MIDI messages and the
// drivers that do it: [System], [In] and [Out]. Package rtmidi has the real ones and portstub
// some in memory, with the contract as a test.
//
// [Find] finds the port that somebody means. The package knows no driver, and nothing of what
// the messages are about.
package ports
