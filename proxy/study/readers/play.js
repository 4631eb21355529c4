// Has another reader, the library musicxml-io, play scores out:
//
//	node play.js SCORE...
//
// It writes a Standard MIDI File beside each score, with a track for its tempo and one for each part.
"use strict";
const { readFileSync, writeFileSync } = require("fs");
globalThis.crypto ??= require("crypto").webcrypto; // Debian's Node 18 has it only there
const { parse, exportMidi } = require("musicxml-io");

for (const path of process.argv.slice(2)) {
  writeFileSync(path + ".mid", exportMidi(parse(readFileSync(path, "utf8"))));
}
