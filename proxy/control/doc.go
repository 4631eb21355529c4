// Package control steers a running daemon from another process. The control API is HTTP with
// JSON over a Unix socket in a folder that only its owner may enter:
//
//	GET  /status                                   live.Status
//	POST /switch {"side":"raw","parts":["Flute"]}  live.Status
//	POST /place {"place":"studio","parts":[]}      live.Status
//	POST /lookahead {"ms":500}                     live.Status
//	POST /panic                                    live.Status
//
// An error is {"error":"…"} with a status of 400 or more. Each command is one file: its request,
// what it has the daemon do, and the client's words for it. [Serve] answers, and a [Client] asks.
//
// The package knows of the daemon only what is [Controlled], and nothing of engines and ports.
package control
