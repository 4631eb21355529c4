package voices

// tuneTable is what each term adds to the log odds that a part has the tune, and its standard error.
//
// Written by "make fit". A conditional logit, fitted to who has the tune by an analyst in 24 orchestral
// movements (OpenScore Orchestra and Hauptstimme, Gotham et al.), each counting alike; standard errors by leaving works
// out. On works left out the part that has it, or one that plays the same notes in unison or octaves, is found for 0.734
// of the time, and for 0.658 if only those count whom the tables list as doubling it; the highest that sounds is for 0.657.
var tuneTable = [len(tuneTerms)]weight{
	{+1.1641, 0.1032}, // height: octaves over the mean of all
	{+1.2603, 0.0844}, // height: share of the time as the highest
	{-0.2309, 0.1006}, // height: share of the time as the lowest
	{+0.9252, 0.0956}, // presence: share of the time that it sounds
	{+1.1599, 0.0598}, // presence: it sounds in this quarter
	{+0.5945, 0.0551}, // presence: it begins a note in this quarter
	{+0.6137, 0.1011}, // density: onsets, re the busiest
	{+0.6228, 0.0622}, // movement: onsets on other keys, re the most
	{+0.2931, 0.0816}, // movement: share of its onsets by a step
	{+0.3032, 0.1257}, // novelty: keys not among the last eight, re the most
	{-0.0873, 0.1197}, // novelty: share of figures that go round
	{+0.0331, 0.0891}, // length: of its notes, doublings
	{+0.3076, 0.1136}, // onsets: share that it has to itself
	{+0.1759, 0.1291}, // entrance: came in after a rest lately
	{-0.0174, 0.0938}, // doubled: parts that go with it
	{+0.3856, 0.0409}, // solo: quarters in which few others sound
	{+1.5032, 0.0700}, // seat: the first of several alike
	{+0.7114, 0.5242}, // kind: it sings
	{-0.3431, 0.0914}, // kind: brass or drums
	{-0.8830, 0.0779}, // kind: viola, bass, bassoon
}
