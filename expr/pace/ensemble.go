package pace

// ensemble is what each term adds to the log of a beat's duration in an orchestra, and its standard
// error.
//
// Written by "make fit". Fitted by ridge regression to the bars of 24 orchestral movements as recorded (OpenScore
// Orchestra and Hauptstimme, Gotham et al.). On works left out its agreement with recordings is 0.296
// (mean correlation of log bar durations), theirs among themselves 0.478; what it predicts has a
// standard deviation of 0.030, theirs is 0.301.
var ensemble = [...]weight{
	{+0.03905, 0.00527}, // ends: nearness to the end, by 0.5 beats
	{+0.03267, 0.00424}, // ends: nearness to the end, by 1 beats
	{+0.02327, 0.00361}, // ends: nearness to the end, by 2 beats
	{+0.01657, 0.00437}, // ends: nearness to the end, by 4 beats
	{+0.01449, 0.00535}, // ends: nearness to the end, by 8 beats
	{+0.01280, 0.00579}, // ends: nearness to the end, by 16 beats
	{+0.00980, 0.00612}, // ends: nearness to the end, by 32 beats
	{+0.02327, 0.00361}, // ends: nearness to the end, by 0.5 bars
	{+0.01657, 0.00437}, // ends: nearness to the end, by 1 bars
	{+0.01449, 0.00535}, // ends: nearness to the end, by 2 bars
	{+0.01280, 0.00579}, // ends: nearness to the end, by 4 bars
	{+0.02526, 0.01129}, // ends: nearness to the beginning, by 1 beats
	{+0.02235, 0.01136}, // ends: nearness to the beginning, by 4 beats
	{+0.01118, 0.00993}, // ends: nearness to the beginning, by 16 beats
	{-0.02684, 0.02056}, // ends: the same by 2 beats, in dense music
	{+0.01482, 0.01022}, // ends: the same by 2 beats, in wide music
	{+0.02327, 0.00361}, // ends: the same by 2 beats, in long bars
	{+0.03098, 0.00945}, // ends: the same by 2 beats, in uneven music
	{+0.04659, 0.02427}, // ends: the same by 2 beats, on long notes
	{-0.02816, 0.01827}, // ends: the same by 2 beats, in slow music
	{-0.07090, 0.01908}, // ends: the same by 8 beats, in dense music
	{+0.00391, 0.02285}, // ends: the same by 8 beats, in wide music
	{+0.01449, 0.00535}, // ends: the same by 8 beats, in long bars
	{+0.02052, 0.00487}, // ends: the same by 8 beats, in uneven music
	{+0.03379, 0.00707}, // ends: the same by 8 beats, on long notes
	{-0.06399, 0.01883}, // ends: the same by 8 beats, in slow music
	{+0.00348, 0.00342}, // ends: place in the piece
	{+0.01669, 0.01478}, // ends: place in the piece, squared
	{0, 0},              // sections: before a section bar, by 1 beats
	{0, 0},              // sections: after a section bar, by 1 beats
	{0, 0},              // sections: before a section bar, by 2 beats
	{0, 0},              // sections: after a section bar, by 2 beats
	{0, 0},              // sections: before a section bar, by 4 beats
	{0, 0},              // sections: after a section bar, by 4 beats
	{0, 0},              // sections: before a section bar, by 8 beats
	{0, 0},              // sections: after a section bar, by 8 beats
	{+0.00072, 0.00478}, // sections: before the edge of a repeated passage, by 1 beats
	{+0.00306, 0.00470}, // sections: after the edge of a repeated passage, by 1 beats
	{-0.00164, 0.00314}, // sections: before the edge of a repeated passage, by 2 beats
	{+0.00451, 0.00367}, // sections: after the edge of a repeated passage, by 2 beats
	{-0.00360, 0.00204}, // sections: before the edge of a repeated passage, by 4 beats
	{+0.00525, 0.00383}, // sections: after the edge of a repeated passage, by 4 beats
	{0, 0},              // sections: before a new key or tempo, by 1 beats
	{0, 0},              // sections: before a new key or tempo, by 4 beats
	{0, 0},              // sections: after a new key or tempo, by 2 beats
	{+0.00077, 0.00054}, // sections: how much the music changes 0 beats on
	{+0.00061, 0.00049}, // sections: how much the music changes 1 beats on
	{+0.00028, 0.00050}, // sections: how much the music changes 2 beats on
	{-0.00002, 0.00064}, // sections: how much the music changes 4 beats on
	{0, 0},              // rests: silence, re 8 beats
	{0, 0},              // rests: silence, -1 beats, re 8 beats
	{0, 0},              // rests: silence, +1 beats, re 8 beats
	{0, 0},              // rests: silence, +2 beats, re 8 beats
	{0, 0},              // rests: silence, 8 beats re 32
	{0, 0},              // rests: silence, 32 beats
	{0, 0},              // rests: silence, the 4 beats after re before
	{0, 0},              // rests: silence, the 8 beats after re before
	{-0.00189, 0.00508}, // rests: nothing begins, re 8 beats
	{-0.00156, 0.00283}, // rests: nothing begins, -1 beats, re 8 beats
	{-0.00308, 0.00357}, // rests: nothing begins, +1 beats, re 8 beats
	{+0.00376, 0.00324}, // rests: nothing begins, +2 beats, re 8 beats
	{+0.00252, 0.01129}, // rests: nothing begins, 8 beats re 32
	{+0.01197, 0.00972}, // rests: nothing begins, 32 beats
	{+0.00341, 0.00169}, // rests: nothing begins, the 4 beats after re before
	{+0.00459, 0.00412}, // rests: nothing begins, the 8 beats after re before
	{0, 0},              // rests: a rest is next
	{0, 0},              // rests: before a rest, by 2 beats
	{+0.00478, 0.00609}, // rests: longest note, re 8 beats
	{+0.00208, 0.00322}, // rests: longest note, -2 beats, re 8 beats
	{+0.00600, 0.00411}, // rests: longest note, -1 beats, re 8 beats
	{+0.00337, 0.00166}, // rests: longest note, +1 beats, re 8 beats
	{+0.00323, 0.00409}, // rests: longest note, +2 beats, re 8 beats
	{-0.00118, 0.00555}, // rests: longest note, +3 beats, re 8 beats
	{+0.01415, 0.00618}, // rests: longest note, 8 beats re 32
	{+0.01149, 0.01815}, // rests: longest note, 32 beats
	{-0.00251, 0.00188}, // rests: longest note, the 4 beats after re before
	{-0.00109, 0.00321}, // rests: longest note, the 8 beats after re before
	{+0.00531, 0.00558}, // rests: top's length, re 8 beats
	{+0.00464, 0.00273}, // rests: top's length, -1 beats, re 8 beats
	{+0.00321, 0.00249}, // rests: top's length, +1 beats, re 8 beats
	{+0.00203, 0.00397}, // rests: top's length, +2 beats, re 8 beats
	{+0.01731, 0.00855}, // rests: top's length, 8 beats re 32
	{+0.01242, 0.01644}, // rests: top's length, 32 beats
	{-0.00332, 0.00318}, // rests: top's length, the 4 beats after re before
	{-0.00334, 0.00354}, // rests: top's length, the 8 beats after re before
	{+0.02277, 0.00583}, // rests: longer note than around, +0 beats
	{+0.01738, 0.00391}, // rests: longer note than around, +1 beats
	{+0.02637, 0.00434}, // rests: longer note than around, -1 beats
	{+0.01293, 0.00769}, // rests: a much longer note
	{+0.01097, 0.00403}, // rests: before a much longer note, by 2 beats
	{+0.01324, 0.00466}, // rests: after a much longer note
	{+0.00745, 0.00508}, // rests: fewer onsets than around, +0 beats
	{+0.00569, 0.00472}, // rests: fewer onsets than around, +1 beats
	{+0.00406, 0.00515}, // rests: fewer onsets than around, -1 beats
	{-0.00427, 0.01073}, // rests: fewer onsets than around, in slow music
	{-0.02304, 0.01634}, // rests: longer note than around, in slow music
	{+0.00101, 0.00057}, // texture: notes, re 8 beats
	{+0.00020, 0.00047}, // texture: notes, -2 beats, re 8 beats
	{+0.00118, 0.00061}, // texture: notes, -1 beats, re 8 beats
	{-0.00038, 0.00051}, // texture: notes, +1 beats, re 8 beats
	{-0.00088, 0.00042}, // texture: notes, +2 beats, re 8 beats
	{-0.00127, 0.00060}, // texture: notes, +3 beats, re 8 beats
	{-0.00152, 0.00072}, // texture: notes, 8 beats re 32
	{-0.00294, 0.00136}, // texture: notes, 32 beats
	{-0.00034, 0.00025}, // texture: notes, the 4 beats after re before
	{-0.00090, 0.00052}, // texture: notes, the 8 beats after re before
	{-0.00191, 0.00300}, // texture: onsets, re 8 beats
	{+0.00198, 0.00223}, // texture: onsets, -2 beats, re 8 beats
	{+0.00126, 0.00116}, // texture: onsets, -1 beats, re 8 beats
	{-0.00124, 0.00158}, // texture: onsets, +1 beats, re 8 beats
	{-0.00213, 0.00210}, // texture: onsets, +2 beats, re 8 beats
	{-0.00352, 0.00125}, // texture: onsets, +3 beats, re 8 beats
	{-0.00346, 0.00280}, // texture: onsets, 8 beats re 32
	{+0.00061, 0.00696}, // texture: onsets, 32 beats
	{-0.00115, 0.00137}, // texture: onsets, the 4 beats after re before
	{-0.00044, 0.00198}, // texture: onsets, the 8 beats after re before
	{+0.00291, 0.00081}, // texture: largest chord, re 8 beats
	{+0.00018, 0.00053}, // texture: largest chord, -2 beats, re 8 beats
	{+0.00164, 0.00094}, // texture: largest chord, -1 beats, re 8 beats
	{+0.00046, 0.00109}, // texture: largest chord, +1 beats, re 8 beats
	{-0.00076, 0.00042}, // texture: largest chord, +2 beats, re 8 beats
	{-0.00137, 0.00107}, // texture: largest chord, 8 beats re 32
	{-0.00626, 0.00236}, // texture: largest chord, 32 beats
	{-0.00039, 0.00048}, // texture: largest chord, the 4 beats after re before
	{-0.00170, 0.00053}, // texture: largest chord, the 8 beats after re before
	{+0.00381, 0.00140}, // texture: what sounds, re 8 beats
	{+0.00171, 0.00029}, // texture: what sounds, -1 beats, re 8 beats
	{+0.00033, 0.00131}, // texture: what sounds, +1 beats, re 8 beats
	{+0.00030, 0.00069}, // texture: what sounds, +2 beats, re 8 beats
	{+0.00144, 0.00189}, // texture: what sounds, 8 beats re 32
	{-0.00559, 0.00218}, // texture: what sounds, 32 beats
	{+0.00008, 0.00054}, // texture: what sounds, the 4 beats after re before
	{-0.00158, 0.00052}, // texture: what sounds, the 8 beats after re before
	{+0.00455, 0.00780}, // texture: more onsets than around
	{-0.00517, 0.00570}, // texture: onsets, in slow music
	{+0.00044, 0.00063}, // line: highest key, re 8 beats
	{-0.00010, 0.00065}, // line: highest key, -2 beats, re 8 beats
	{+0.00147, 0.00074}, // line: highest key, -1 beats, re 8 beats
	{-0.00195, 0.00070}, // line: highest key, +1 beats, re 8 beats
	{-0.00239, 0.00067}, // line: highest key, +2 beats, re 8 beats
	{-0.00147, 0.00081}, // line: highest key, +3 beats, re 8 beats
	{-0.00033, 0.00087}, // line: highest key, 8 beats re 32
	{-0.00689, 0.00465}, // line: highest key, 32 beats
	{-0.00095, 0.00047}, // line: highest key, the 4 beats after re before
	{-0.00181, 0.00054}, // line: highest key, the 8 beats after re before
	{-0.00204, 0.00046}, // line: lowest key, re 8 beats
	{-0.00077, 0.00039}, // line: lowest key, -2 beats, re 8 beats
	{-0.00186, 0.00058}, // line: lowest key, -1 beats, re 8 beats
	{-0.00039, 0.00055}, // line: lowest key, +1 beats, re 8 beats
	{-0.00058, 0.00043}, // line: lowest key, +2 beats, re 8 beats
	{+0.00031, 0.00081}, // line: lowest key, 8 beats re 32
	{-0.00318, 0.00332}, // line: lowest key, 32 beats
	{+0.00018, 0.00046}, // line: lowest key, the 4 beats after re before
	{+0.00013, 0.00045}, // line: lowest key, the 8 beats after re before
	{-0.00296, 0.00106}, // line: mean key, re 8 beats
	{-0.00140, 0.00109}, // line: mean key, -1 beats, re 8 beats
	{-0.00252, 0.00127}, // line: mean key, +1 beats, re 8 beats
	{-0.00136, 0.00167}, // line: mean key, 8 beats re 32
	{-0.01515, 0.00740}, // line: mean key, 32 beats
	{-0.00099, 0.00076}, // line: mean key, the 4 beats after re before
	{-0.00213, 0.00064}, // line: mean key, the 8 beats after re before
	{+0.00143, 0.00040}, // line: span, re 8 beats
	{-0.00027, 0.00042}, // line: span, 8 beats re 32
	{-0.00197, 0.00218}, // line: leap of the top
	{-0.00190, 0.00169}, // line: leap of the top to come
	{-0.00621, 0.00195}, // line: leap up of the top to come
	{+0.00010, 0.00110}, // line: leap of the bass
	{-0.00015, 0.00115}, // line: leap of the bass to come
	{+0.00051, 0.00217}, // line: peak of the top
	{-0.00131, 0.00123}, // line: peak of the top next
	{+0.00161, 0.00055}, // line: top re the 8 beats after
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
	{+0.00005, 0.00196}, // harmony: the harmony stays, -1 beats
	{+0.00054, 0.00237}, // harmony: the harmony stays, +0 beats
	{+0.00322, 0.00221}, // harmony: the harmony stays, +1 beats
	{+0.00400, 0.00217}, // harmony: the harmony stays, +2 beats
	{+0.00579, 0.00565}, // harmony: the harmony stays, 8 beats
	{-0.00267, 0.00155}, // harmony: the bass falls a fifth
	{-0.00034, 0.00164}, // harmony: the bass falls a fifth next
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
