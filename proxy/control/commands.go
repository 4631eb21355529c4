package control

// commands are all there are, each in a file of its own: its request, what it has the daemon do,
// the client's words for it, and how it is typed.
var commands = [...]*Command{
	&statusCommand,
	&switchCommand,
	&placeCommand,
	&lookaheadCommand,
	&loopCommand,
	&panicCommand,
}

// Commands are all commands, for who offers them to people.
func Commands() []*Command { return commands[:] }
