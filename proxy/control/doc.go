// Package control steers a running daemon. Each command is one file: its request, what it has the
// daemon do, the client's words for it, and its name, help and arguments on the command line;
// [Commands] lists them.
//
// From another process it is HTTP with JSON over a Unix socket in a folder that only its owner may
// enter, which [Serve] answers and a [Client] asks:
//
//	GET  /status                                   live.Status
//	POST /switch {"side":"raw","parts":["Flute"]}  live.Status
//
// and so on, a path for each command. An error is {"error":"…"} with a status of 400 or more. In
// process, without the socket, it is [Command.Do], and the same over any HTTP server by [Handler];
// what the daemon is doing is live.Daemon's Status.
//
// The package knows of the daemon only what each command names, and nothing of engines and ports.
package control
