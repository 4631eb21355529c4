package profiles

// programs are the profiles of General MIDI's programs 1 to 128, eight a line.
// The numbers of the orchestra's instruments: General MIDI 1, from memory. What
// stands for what is not in an orchestra is ours, not published.
var programs = [128]string{
	"piano", "piano", "piano", "piano", "keyboard", "keyboard", "harpsichord", "keyboard",
	"celesta", "glockenspiel", "percussion", "vibraphone", "marimba", "xylophone", "tubular-bells", "percussion",
	"organ", "organ", "organ", "organ", "organ", plain, plain, plain, // accordions and harmonica last
	plain, plain, plain, plain, plain, plain, plain, plain, // guitars
	plain, plain, plain, plain, plain, plain, plain, plain, // bass guitars
	"violins", "violas", "cellos", "double-basses", "tremolo-strings", "pizzicato-strings", "harp", "timpani",
	"strings", "strings", "strings", "strings", "choir", "choir", "choir", "percussion",
	"trumpet", "trombone", "tuba", "trumpet", "horn", "brass", "brass", "brass",
	"soprano-saxophone", "alto-saxophone", "tenor-saxophone", "baritone-saxophone", "oboe", "cor-anglais", "bassoon", "clarinet",
	"piccolo", "flute", "woodwind", "woodwind", "woodwind", "woodwind", "woodwind", "woodwind",
	plain, plain, plain, plain, plain, plain, plain, plain, // synthetic leads
	plain, plain, plain, plain, plain, plain, plain, plain, // pads
	plain, plain, plain, plain, plain, plain, plain, plain, // effects
	"plucked", "plucked", "plucked", "plucked", "percussion", plain, "violin", "woodwind", // bagpipe sixth
	"percussion", "percussion", "percussion", "percussion", "percussion", "percussion", "percussion", "percussion",
	plain, plain, plain, plain, plain, plain, plain, plain, // noises
}
