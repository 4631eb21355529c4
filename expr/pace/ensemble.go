package pace

// ensemble is what each term adds to the log of a beat's duration in an orchestra, and its standard
// error.
//
// Written by "make fit". Fitted by ridge regression to recordings of 24 orchestral movements (OpenScore
// Orchestra and Hauptstimme, Gotham et al.). On works left out its agreement with recordings is 0.217
// (mean correlation of log beat durations), theirs among themselves 0.403; what it predicts has a
// standard deviation of 0.026, theirs is 0.371.
var ensemble = [...]weight{
	{+0.02601, 0.01257}, // ends: nearness to the end, by 0.5 beats
	{+0.02455, 0.00801}, // ends: nearness to the end, by 1 beats
	{+0.01936, 0.00295}, // ends: nearness to the end, by 2 beats
	{+0.01445, 0.00437}, // ends: nearness to the end, by 4 beats
	{+0.01268, 0.00540}, // ends: nearness to the end, by 8 beats
	{+0.01074, 0.00531}, // ends: nearness to the end, by 16 beats
	{+0.00763, 0.00555}, // ends: nearness to the end, by 32 beats
	{+0.01936, 0.00295}, // ends: nearness to the end, by 0.5 bars
	{+0.01445, 0.00437}, // ends: nearness to the end, by 1 bars
	{+0.01268, 0.00540}, // ends: nearness to the end, by 2 bars
	{+0.01074, 0.00531}, // ends: nearness to the end, by 4 bars
	{+0.02123, 0.01258}, // ends: nearness to the beginning, by 1 beats
	{+0.02444, 0.01208}, // ends: nearness to the beginning, by 4 beats
	{+0.01135, 0.00978}, // ends: nearness to the beginning, by 16 beats
	{-0.02199, 0.01491}, // ends: the same by 2 beats, in dense music
	{+0.02113, 0.01463}, // ends: the same by 2 beats, in wide music
	{+0.01936, 0.00295}, // ends: the same by 2 beats, in long bars
	{+0.02540, 0.00793}, // ends: the same by 2 beats, in uneven music
	{+0.02954, 0.01893}, // ends: the same by 2 beats, on long notes
	{-0.02840, 0.01430}, // ends: the same by 2 beats, in slow music
	{-0.06669, 0.02159}, // ends: the same by 8 beats, in dense music
	{+0.00690, 0.02424}, // ends: the same by 8 beats, in wide music
	{+0.01268, 0.00540}, // ends: the same by 8 beats, in long bars
	{+0.01801, 0.00470}, // ends: the same by 8 beats, in uneven music
	{+0.02396, 0.00407}, // ends: the same by 8 beats, on long notes
	{-0.06443, 0.01873}, // ends: the same by 8 beats, in slow music
	{+0.00281, 0.00331}, // ends: place in the piece
	{+0.00866, 0.01330}, // ends: place in the piece, squared
	{0, 0},              // sections: before a section bar, by 1 beats
	{0, 0},              // sections: after a section bar, by 1 beats
	{0, 0},              // sections: before a section bar, by 2 beats
	{0, 0},              // sections: after a section bar, by 2 beats
	{0, 0},              // sections: before a section bar, by 4 beats
	{0, 0},              // sections: after a section bar, by 4 beats
	{0, 0},              // sections: before a section bar, by 8 beats
	{0, 0},              // sections: after a section bar, by 8 beats
	{+0.00113, 0.00280}, // sections: before the edge of a repeated passage, by 1 beats
	{+0.00307, 0.00247}, // sections: after the edge of a repeated passage, by 1 beats
	{-0.00135, 0.00284}, // sections: before the edge of a repeated passage, by 2 beats
	{+0.00341, 0.00286}, // sections: after the edge of a repeated passage, by 2 beats
	{-0.00397, 0.00290}, // sections: before the edge of a repeated passage, by 4 beats
	{+0.00362, 0.00344}, // sections: after the edge of a repeated passage, by 4 beats
	{0, 0},              // sections: before a new key or tempo, by 1 beats
	{0, 0},              // sections: before a new key or tempo, by 4 beats
	{0, 0},              // sections: after a new key or tempo, by 2 beats
	{+0.00084, 0.00051}, // sections: how much the music changes 0 beats on
	{+0.00063, 0.00047}, // sections: how much the music changes 1 beats on
	{+0.00025, 0.00045}, // sections: how much the music changes 2 beats on
	{+0.00006, 0.00055}, // sections: how much the music changes 4 beats on
	{0, 0},              // rests: silence, re 8 beats
	{0, 0},              // rests: silence, -1 beats, re 8 beats
	{0, 0},              // rests: silence, +1 beats, re 8 beats
	{0, 0},              // rests: silence, +2 beats, re 8 beats
	{0, 0},              // rests: silence, 8 beats re 32
	{0, 0},              // rests: silence, 32 beats
	{0, 0},              // rests: silence, the 4 beats after re before
	{0, 0},              // rests: silence, the 8 beats after re before
	{+0.00025, 0.00200}, // rests: nothing begins, re 8 beats
	{+0.00026, 0.00111}, // rests: nothing begins, -1 beats, re 8 beats
	{-0.00369, 0.00155}, // rests: nothing begins, +1 beats, re 8 beats
	{-0.00078, 0.00214}, // rests: nothing begins, +2 beats, re 8 beats
	{-0.00102, 0.01387}, // rests: nothing begins, 8 beats re 32
	{+0.01817, 0.01033}, // rests: nothing begins, 32 beats
	{+0.00090, 0.00164}, // rests: nothing begins, the 4 beats after re before
	{+0.00340, 0.00352}, // rests: nothing begins, the 8 beats after re before
	{0, 0},              // rests: a rest is next
	{0, 0},              // rests: before a rest, by 2 beats
	{+0.00113, 0.00137}, // rests: longest note, re 8 beats
	{+0.00217, 0.00114}, // rests: longest note, -2 beats, re 8 beats
	{+0.00135, 0.00099}, // rests: longest note, -1 beats, re 8 beats
	{+0.00393, 0.00132}, // rests: longest note, +1 beats, re 8 beats
	{+0.00298, 0.00181}, // rests: longest note, +2 beats, re 8 beats
	{-0.00047, 0.00097}, // rests: longest note, +3 beats, re 8 beats
	{+0.02084, 0.00890}, // rests: longest note, 8 beats re 32
	{+0.01024, 0.01730}, // rests: longest note, 32 beats
	{-0.00021, 0.00291}, // rests: longest note, the 4 beats after re before
	{-0.00074, 0.00363}, // rests: longest note, the 8 beats after re before
	{+0.00074, 0.00142}, // rests: top's length, re 8 beats
	{+0.00107, 0.00102}, // rests: top's length, -1 beats, re 8 beats
	{+0.00355, 0.00111}, // rests: top's length, +1 beats, re 8 beats
	{+0.00292, 0.00187}, // rests: top's length, +2 beats, re 8 beats
	{+0.02385, 0.01005}, // rests: top's length, 8 beats re 32
	{+0.01084, 0.01512}, // rests: top's length, 32 beats
	{-0.00143, 0.00285}, // rests: top's length, the 4 beats after re before
	{-0.00341, 0.00370}, // rests: top's length, the 8 beats after re before
	{+0.00939, 0.00284}, // rests: longer note than around, +0 beats
	{+0.01269, 0.00277}, // rests: longer note than around, +1 beats
	{+0.01214, 0.00205}, // rests: longer note than around, -1 beats
	{+0.00718, 0.00363}, // rests: a much longer note
	{+0.01208, 0.00466}, // rests: before a much longer note, by 2 beats
	{+0.01364, 0.00481}, // rests: after a much longer note
	{+0.00592, 0.00431}, // rests: fewer onsets than around, +0 beats
	{+0.00615, 0.00311}, // rests: fewer onsets than around, +1 beats
	{+0.00328, 0.00317}, // rests: fewer onsets than around, -1 beats
	{-0.00645, 0.00468}, // rests: fewer onsets than around, in slow music
	{-0.00548, 0.00555}, // rests: longer note than around, in slow music
	{+0.00210, 0.00049}, // texture: notes, re 8 beats
	{+0.00007, 0.00037}, // texture: notes, -2 beats, re 8 beats
	{-0.00046, 0.00045}, // texture: notes, -1 beats, re 8 beats
	{-0.00085, 0.00041}, // texture: notes, +1 beats, re 8 beats
	{-0.00049, 0.00041}, // texture: notes, +2 beats, re 8 beats
	{-0.00083, 0.00047}, // texture: notes, +3 beats, re 8 beats
	{-0.00110, 0.00088}, // texture: notes, 8 beats re 32
	{-0.00345, 0.00131}, // texture: notes, 32 beats
	{-0.00034, 0.00019}, // texture: notes, the 4 beats after re before
	{-0.00074, 0.00056}, // texture: notes, the 8 beats after re before
	{-0.00242, 0.00259}, // texture: onsets, re 8 beats
	{+0.00056, 0.00134}, // texture: onsets, -2 beats, re 8 beats
	{+0.00013, 0.00104}, // texture: onsets, -1 beats, re 8 beats
	{-0.00217, 0.00153}, // texture: onsets, +1 beats, re 8 beats
	{-0.00057, 0.00222}, // texture: onsets, +2 beats, re 8 beats
	{-0.00027, 0.00063}, // texture: onsets, +3 beats, re 8 beats
	{-0.00275, 0.00309}, // texture: onsets, 8 beats re 32
	{+0.00005, 0.00583}, // texture: onsets, 32 beats
	{-0.00064, 0.00087}, // texture: onsets, the 4 beats after re before
	{-0.00024, 0.00202}, // texture: onsets, the 8 beats after re before
	{+0.00368, 0.00057}, // texture: largest chord, re 8 beats
	{+0.00021, 0.00045}, // texture: largest chord, -2 beats, re 8 beats
	{-0.00071, 0.00043}, // texture: largest chord, -1 beats, re 8 beats
	{-0.00010, 0.00040}, // texture: largest chord, +1 beats, re 8 beats
	{-0.00034, 0.00044}, // texture: largest chord, +2 beats, re 8 beats
	{-0.00070, 0.00135}, // texture: largest chord, 8 beats re 32
	{-0.00706, 0.00265}, // texture: largest chord, 32 beats
	{-0.00042, 0.00039}, // texture: largest chord, the 4 beats after re before
	{-0.00144, 0.00053}, // texture: largest chord, the 8 beats after re before
	{+0.00898, 0.00145}, // texture: what sounds, re 8 beats
	{-0.00171, 0.00109}, // texture: what sounds, -1 beats, re 8 beats
	{-0.00097, 0.00101}, // texture: what sounds, +1 beats, re 8 beats
	{-0.00136, 0.00079}, // texture: what sounds, +2 beats, re 8 beats
	{+0.00139, 0.00198}, // texture: what sounds, 8 beats re 32
	{-0.00588, 0.00245}, // texture: what sounds, 32 beats
	{-0.00025, 0.00043}, // texture: what sounds, the 4 beats after re before
	{-0.00137, 0.00054}, // texture: what sounds, the 8 beats after re before
	{+0.00089, 0.00545}, // texture: more onsets than around
	{-0.00127, 0.00410}, // texture: onsets, in slow music
	{+0.00245, 0.00079}, // line: highest key, re 8 beats
	{-0.00096, 0.00066}, // line: highest key, -2 beats, re 8 beats
	{-0.00088, 0.00088}, // line: highest key, -1 beats, re 8 beats
	{-0.00211, 0.00053}, // line: highest key, +1 beats, re 8 beats
	{-0.00174, 0.00028}, // line: highest key, +2 beats, re 8 beats
	{-0.00143, 0.00083}, // line: highest key, +3 beats, re 8 beats
	{-0.00070, 0.00096}, // line: highest key, 8 beats re 32
	{-0.00701, 0.00478}, // line: highest key, 32 beats
	{-0.00069, 0.00028}, // line: highest key, the 4 beats after re before
	{-0.00137, 0.00041}, // line: highest key, the 8 beats after re before
	{-0.00340, 0.00052}, // line: lowest key, re 8 beats
	{-0.00035, 0.00051}, // line: lowest key, -2 beats, re 8 beats
	{-0.00009, 0.00033}, // line: lowest key, -1 beats, re 8 beats
	{+0.00063, 0.00033}, // line: lowest key, +1 beats, re 8 beats
	{-0.00021, 0.00030}, // line: lowest key, +2 beats, re 8 beats
	{-0.00006, 0.00093}, // line: lowest key, 8 beats re 32
	{-0.00392, 0.00327}, // line: lowest key, 32 beats
	{-0.00004, 0.00028}, // line: lowest key, the 4 beats after re before
	{-0.00014, 0.00041}, // line: lowest key, the 8 beats after re before
	{-0.00279, 0.00110}, // line: mean key, re 8 beats
	{-0.00042, 0.00100}, // line: mean key, -1 beats, re 8 beats
	{-0.00114, 0.00091}, // line: mean key, +1 beats, re 8 beats
	{-0.00172, 0.00199}, // line: mean key, 8 beats re 32
	{-0.01506, 0.00698}, // line: mean key, 32 beats
	{-0.00109, 0.00046}, // line: mean key, the 4 beats after re before
	{-0.00194, 0.00063}, // line: mean key, the 8 beats after re before
	{+0.00291, 0.00048}, // line: span, re 8 beats
	{-0.00024, 0.00056}, // line: span, 8 beats re 32
	{-0.00128, 0.00154}, // line: leap of the top
	{-0.00021, 0.00115}, // line: leap of the top to come
	{-0.00528, 0.00128}, // line: leap up of the top to come
	{-0.00026, 0.00060}, // line: leap of the bass
	{+0.00090, 0.00076}, // line: leap of the bass to come
	{+0.00249, 0.00115}, // line: peak of the top
	{-0.00113, 0.00097}, // line: peak of the top next
	{+0.00247, 0.00069}, // line: top re the 8 beats after
	{0, 0},              // bar: first of the bar
	{0, 0},              // bar: last of the bar
	{0, 0},              // bar: middle of the bar
	{0, 0},              // bar: place in the bar
	{0, 0},              // bar: place in the bar, as a wave
	{0, 0},              // bar: place in the bar, as a later wave
	{0, 0},              // bar: last beat of 2 bars
	{0, 0},              // bar: last half bar of 2
	{0, 0},              // bar: first beat of 2 bars
	{0, 0},              // bar: last beat of 4 bars
	{0, 0},              // bar: last half bar of 4
	{0, 0},              // bar: first beat of 4 bars
	{0, 0},              // bar: last beat of 8 bars
	{0, 0},              // bar: last half bar of 8
	{0, 0},              // bar: first beat of 8 bars
	{0, 0},              // bar: a note on the beat, re 8 beats
	{0, 0},              // bar: a note on the beat, -1 beats, re 8 beats
	{0, 0},              // bar: a note on the beat, +1 beats, re 8 beats
	{0, 0},              // bar: a note on the beat, +2 beats, re 8 beats
	{0, 0},              // bar: a note on the beat, 8 beats re 32
	{0, 0},              // bar: a note on the beat, 32 beats
	{0, 0},              // bar: a note on the beat, the 4 beats after re before
	{0, 0},              // bar: a note on the beat, the 8 beats after re before
	{+0.00389, 0.00152}, // harmony: the harmony stays, -1 beats
	{-0.00557, 0.00197}, // harmony: the harmony stays, +0 beats
	{+0.00462, 0.00167}, // harmony: the harmony stays, +1 beats
	{+0.00208, 0.00157}, // harmony: the harmony stays, +2 beats
	{+0.00620, 0.00627}, // harmony: the harmony stays, 8 beats
	{+0.00144, 0.00118}, // harmony: the bass falls a fifth
	{+0.00101, 0.00113}, // harmony: the bass falls a fifth next
	{0, 0},              // marks: fermata, -1 beats
	{0, 0},              // marks: fermata, +0 beats
	{0, 0},              // marks: fermata, +1 beats
	{0, 0},              // marks: fermata, +2 beats
	{0, 0},              // marks: slur ends, -1 beats
	{0, 0},              // marks: slur ends, +0 beats
	{0, 0},              // marks: slur ends, +1 beats
	{0, 0},              // marks: slur begins, -1 beats
	{0, 0},              // marks: slur begins, +0 beats
	{0, 0},              // marks: slur begins, +1 beats
	{0, 0},              // marks: tenuto, +0 beats
	{0, 0},              // marks: tenuto, +1 beats
	{0, 0},              // marks: spread chord, +0 beats
	{0, 0},              // marks: spread chord, +1 beats
	{0, 0},              // marks: ornament, +0 beats
	{0, 0},              // marks: ornament, +1 beats
	{0, 0},              // marks: grace notes, +0 beats
	{0, 0},              // marks: grace notes, +1 beats
	{0, 0},              // marks: staccato
	{0, 0},              // marks: staccato, 8 beats
	{0, 0},              // marks: accents
	{0, 0},              // marks: accents, 8 beats
	{0, 0},              // marks: written level
	{0, 0},              // marks: written level, the 4 beats after re before
	{0, 0},              // marks: sforzato
	{0, 0},              // marks: under a crescendo
	{0, 0},              // marks: under a diminuendo
	{0, 0},              // marks: crescendo in the 4 beats before
	{0, 0},              // marks: diminuendo in the 4 beats before
	{0, 0},              // marks: crescendo as a word
	{0, 0},              // marks: diminuendo as a word
	{0, 0},              // words: written tempo in numbers
	{0, 0},              // words: written tempo in words
	{0, 0},              // words: a new number
	{0, 0},              // words: before a new number, by 2 beats
	{0, 0},              // words: before a new number, by 6 beats
	{0, 0},              // words: ritardando
	{0, 0},              // words: ritardando, how far
	{0, 0},              // words: ritardando, its end
	{0, 0},              // words: accelerando
	{0, 0},              // words: accelerando, how far
	{0, 0},              // words: after a tempo
	{0, 0},              // words: after a word: dying away
	{0, 0},              // words: at a word: dying away
	{0, 0},              // words: after a word: calm
	{0, 0},              // words: at a word: calm
	{0, 0},              // words: after a word: stirred
	{0, 0},              // words: at a word: stirred
	{0, 0},              // words: after a word: free time
	{0, 0},              // words: at a word: free time
}
