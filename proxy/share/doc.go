// Package share lets colleagues in one network take profile packages from each
// other: [Serve] gives away what is installed, [Pull] takes it.
//
// # Trust
//
// The network is trusted with nothing. Packages travel over plain HTTP, and what
// vouches for them is their signature: only packages signed with a key that the
// server's own user trusts are given away, and whoever takes one verifies it with
// a key that they have pinned themselves, as for a file from anywhere else. So a
// server, or somebody between, can withhold a package or give an old one, but
// cannot make one. Encryption would add that others in the network do not see
// which house sound is taken; packages are given to anyone who asks, so there is
// nothing to hide.
//
// # Server
//
// It is off until it is asked for, listens on the one address that it is told,
// and answers GET and HEAD on three paths only:
//
//	/v1/packages                  the list, JSON, see [Index]
//	/v1/packages/FILE             a package: with ranges, its hash as ETag
//	/v1/packages/FILE.minisig     its signature
//
// It reads from the user's folder and writes nothing, and what it gives away is
// meant for everyone who can reach it. It therefore does not look at the Host of a
// request: a web page that has its name pointed at the server could read what any
// computer in the network can read, and change nothing.
package share
