package voices

// tuneTable is what each term adds to the log odds that a part has the tune, and its standard error.
//
// Written by "make fit". A conditional logit, fitted to who has the tune by an analyst in 24 orchestral
// movements (OpenScore Orchestra and Hauptstimme, Gotham et al.), each counting alike; standard errors by leaving works
// out. On works left out the part that has it, or one that goes with it in unison or octaves, is found for 0.662
// of the time; the highest that sounds is for 0.573.
var tuneTable = [len(tuneTerms)]weight{
	{+1.2412, 0.0987}, // height: octaves over the mean of all
	{+0.7415, 0.1209}, // height: share of the time as the highest
	{-0.2953, 0.1046}, // height: share of the time as the lowest
	{+0.5388, 0.0710}, // presence: share of the time that it sounds
	{+0.9102, 0.0563}, // presence: it sounds in this quarter
	{+0.8205, 0.0543}, // presence: it begins a note in this quarter
	{+0.6816, 0.0600}, // density: onsets, re the busiest
	{+0.9698, 0.1021}, // movement: onsets on other keys, re the most
	{+0.3329, 0.1005}, // movement: share of its onsets by a step
	{+0.6350, 0.1519}, // novelty: keys not among the last eight, re the most
	{+0.0590, 0.1463}, // novelty: share of figures that go round
	{+0.1524, 0.0805}, // length: of its notes, doublings
	{+0.2258, 0.0537}, // onsets: share that it has to itself
	{-0.1239, 0.1801}, // entrance: came in after a rest lately
	{-0.1177, 0.0762}, // doubled: parts that go with it
	{+0.3435, 0.0317}, // solo: quarters in which few others sound
	{+1.7697, 0.0870}, // seat: the first of several alike
	{+1.1577, 0.7878}, // kind: it sings
	{-0.5260, 0.0921}, // kind: brass or drums
	{-1.0590, 0.0697}, // kind: viola, bass, bassoon
}
