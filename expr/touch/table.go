package touch

// table is what each term adds to the log of the share of its length that a note is held, and its
// standard error: with what a score says, and from the notes alone.
//
// Written by "make fit". Fitted by ridge regression to 439 performances of 190 pieces: Vienna 4x22 (Goebl
// 1999), Batik-plays-Mozart (Hu and Widmer 2023), (n)ASAP (Peter et al. 2023). Terms that weigh
// less than 0.6 standard errors are left out. On works left out its agreement with players is 0.620 with
// a score and 0.591 without (mean correlation of log shares), theirs among themselves 0.694. The mean
// log share of a piece is -0.519.
var table = [...]size{
	{-0.04220, 0.01084, -0.04587, 0.01006}, // notes: log of the length
	{+0.02349, 0.00677, +0.02574, 0.01077}, // notes: the same, squared
	{-0.06731, 0.02899, -0.06869, 0.04625}, // notes: length over 0.18 s
	{+0.12985, 0.04424, +0.16142, 0.04909}, // notes: length over 0.25 s
	{+0.18771, 0.04637, +0.21745, 0.07272}, // notes: length over 0.35 s
	{-0.06492, 0.05071, -0.13906, 0.05517}, // notes: length over 0.50 s
	{-0.07018, 0.09009, 0, 0},              // notes: length over 0.71 s
	{-0.04742, 0.06909, -0.06936, 0.10327}, // notes: length over 1.00 s
	{-0.11909, 0.15539, -0.11726, 0.16263}, // notes: length over 1.41 s
	{+0.23799, 0.20854, +0.11573, 0.10846}, // notes: length over 2.00 s
	{-0.16268, 0.25276, 0, 0},              // notes: length over 2.83 s
	{-0.02718, 0.00829, -0.03095, 0.00730}, // notes: log of the note value
	{+0.11715, 0.04490, +0.11622, 0.03965}, // notes: a value of 0.25 quarters
	{-0.07256, 0.02533, -0.08793, 0.02468}, // notes: a value of 0.5 quarters
	{-0.12098, 0.02512, -0.16656, 0.03382}, // notes: a value of 1 quarters
	{-0.07800, 0.03119, -0.09106, 0.03747}, // notes: a value of 2 quarters
	{+0.09836, 0.03376, +0.07385, 0.04383}, // notes: a value of 4 quarters
	{+0.07435, 0.04763, +0.09516, 0.04711}, // notes: shorter than a fifth of a quarter
	{-0.03549, 0.02405, -0.03090, 0.02695}, // notes: log of the length re the next onset
	{+0.11540, 0.02545, +0.11606, 0.02621}, // notes: held over the next onset
	{-0.23505, 0.05409, -0.27417, 0.06354}, // notes: ends before the next onset
	{-0.01394, 0.01294, -0.01587, 0.01757}, // notes: log of the onset-to-onset time re around
	{0, 0, 0, 0},                           // notes: log of the chord's size
	{-0.11480, 0.02472, -0.12606, 0.03191}, // notes: alone
	{+0.02169, 0.01075, +0.02444, 0.01513}, // notes: one of two
	{+0.15488, 0.01302, +0.16465, 0.01318}, // notes: top
	{+0.05798, 0.01304, +0.06747, 0.01445}, // notes: bottom
	{+0.00682, 0.00452, +0.01491, 0.00347}, // notes: key
	{+0.00611, 0.00151, +0.00364, 0.00229}, // notes: key, squared
	{-0.00872, 0.00811, -0.01035, 0.00825}, // notes: above the mean
	{+0.02049, 0.00356, +0.02821, 0.00291}, // notes: key re the mean
	{-0.05579, 0.01382, -0.04444, 0.01257}, // notes: mean key
	{-0.33621, 0.03398, -0.34749, 0.04465}, // notes: struck again at once
	{+0.03479, 0.01394, +0.03784, 0.01462}, // notes: struck again soon
	{-0.05709, 0.01656, -0.06202, 0.01817}, // notes: nearness of the next stroke
	{+0.15235, 0.05321, +0.18220, 0.05227}, // notes: nothing begins at its end
	{+0.21752, 0.03820, +0.26082, 0.04375}, // notes: goes on near
	{0, 0, 0, 0},                           // notes: step to come
	{-0.05899, 0.03264, -0.08422, 0.04466}, // notes: size of the step to come
	{-0.06346, 0.01376, -0.05989, 0.01607}, // notes: goes on by step
	{+0.02324, 0.00826, +0.02352, 0.00830}, // notes: goes on by a leap
	{0, 0, -0.02964, 0.04520},              // notes: goes on to the same
	{-0.06100, 0.00532, -0.07986, 0.00559}, // notes: the next is longer
	{-0.17560, 0.02177, -0.20615, 0.01401}, // notes: log of the density
	{+0.05679, 0.00798, +0.06698, 0.01045}, // notes: on the down-beat
	{+0.05010, 0.01035, +0.05485, 0.01290}, // notes: on a beat
	{-0.26670, 0.09512, -0.27334, 0.09490}, // notes: nearness to the end, by a quarter
	{-0.05087, 0.05345, -0.04370, 0.05385}, // notes: nearness to the end, by a bar
	{-0.10384, 0.02022, -0.09986, 0.02339}, // notes: nearness to the beginning
	{+0.01066, 0.00868, 0, 0},              // notes: as long as the one before
	{-0.02810, 0.03837, -0.05177, 0.03709}, // notes: log of the length re around
	{0, 0, 0, 0},                           // notes: log of the mean length
	{-0.10467, 0.01326, -0.14422, 0.00984}, // notes: log of the mean onset-to-onset time
	{-0.02081, 0.01229, -0.02035, 0.01303}, // notes: length in a chord
	{-0.05567, 0.01329, -0.05176, 0.01381}, // notes: length of the top
	{-0.04912, 0.01034, -0.04485, 0.01079}, // notes: length of the bottom
	{-0.11010, 0.03077, -0.10393, 0.04209}, // notes: length before a rest
	{+0.13029, 0.01729, +0.14726, 0.02072}, // notes: length held over
	{-0.00934, 0.00605, -0.00514, 0.00515}, // notes: length by key
	{-0.09293, 0.11139, -0.08690, 0.11398}, // hand: log of the share until it is out of reach
	{-0.24277, 0.12041, -0.25407, 0.11604}, // hand: it is out of reach before its end
	{-0.05238, 0.04310, -0.05892, 0.04074}, // hand: log of the share until it is a leap away
	{-0.09000, 0.04346, -0.09277, 0.04273}, // hand: it is a leap away before its end
	{+0.07276, 0.04051, +0.07553, 0.04031}, // hand: log of the notes under it
	{-0.08313, 0.02943, -0.07493, 0.02932}, // hand: notes under it
	{+0.15391, 0.02141, +0.15655, 0.02145}, // hand: plays on before its end, log
	{+0.27946, 0.04616, +0.30344, 0.03540}, // hand: plays on after its end, log
	{0, 0, -0.07301, 0.04075},              // hand: rests after it
	{-0.06640, 0.01880, -0.07275, 0.01853}, // hand: log of the time to its next note
	{0, 0, +0.03454, 0.02767},              // hand: goes on at its end
	{-0.19737, 0.02794, -0.21489, 0.03789}, // hand: how far it goes on
	{0, 0, 0, 0},                           // hand: goes on by step
	{+0.03685, 0.00842, +0.04081, 0.00916}, // hand: goes up
	{+0.03851, 0.01779, +0.04659, 0.02090}, // hand: left
	{+0.09872, 0.09582, +0.07502, 0.09964}, // hand: length until out of reach
	{-0.02397, 0.03040, 0, 0},              // hand: length where it plays on before its end
	{+0.14311, 0.02186, +0.13523, 0.03183}, // hand: length where it rests after
	{-0.04147, 0.01392, -0.03656, 0.01134}, // hand: length where it goes on
	{-0.09389, 0.02588, -0.11358, 0.01757}, // hand: length over others
	{-0.39193, 0.04892, 0, 0},              // marks: staccato
	{-0.69205, 0.16889, 0, 0},              // marks: staccatissimo
	{-0.05095, 0.02728, 0, 0},              // marks: length of a staccato
	{-0.31350, 0.13509, 0, 0},              // marks: length of a staccatissimo
	{0, 0, 0, 0},                           // marks: accent
	{-0.10114, 0.12097, 0, 0},              // marks: tenuto
	{+0.13787, 0.05062, 0, 0},              // marks: fermata
	{+0.26256, 0.03408, 0, 0},              // marks: joined to the next by a slur
	{-0.04466, 0.03427, 0, 0},              // marks: a slur ends
	{+0.04958, 0.01688, 0, 0},              // marks: a slur begins
	{+0.05078, 0.02094, 0, 0},              // marks: length under a slur
	{+0.06700, 0.03406, 0, 0},              // marks: length where a slur ends
	{+0.03227, 0.04607, 0, 0},              // marks: short where a slur ends
	{-0.09855, 0.03750, 0, 0},              // marks: dots around
	{+0.02663, 0.02875, 0, 0},              // marks: slurs around
}
