package pace

// table is what each term adds to the log of a beat's duration, and its standard error: with what
// a score says, and from the notes alone.
//
// Written by "make fit". Fitted by ridge regression to 439 performances of 190 pieces: Vienna 4x22 (Goebl
// 1999), Batik-plays-Mozart (Hu and Widmer 2023), (n)ASAP (Peter et al. 2023). Terms that weigh
// less than 0.6 standard errors are left out. On works left out its agreement with players is 0.488 with
// a score and 0.399 without (mean correlation of log beat durations), theirs among themselves 0.679; what
// it predicts has a standard deviation of 0.090 and 0.068, theirs is 0.279.
var table = [...]size{
	{+0.10408, 0.01254, +0.10090, 0.00906}, // ends: nearness to the end, by 0.5 beats
	{+0.08213, 0.00804, +0.08027, 0.00829}, // ends: nearness to the end, by 1 beats
	{+0.03909, 0.01360, +0.03271, 0.01372}, // ends: nearness to the end, by 2 beats
	{0, 0, -0.00791, 0.01661},              // ends: nearness to the end, by 4 beats
	{-0.01222, 0.01486, -0.01836, 0.01394}, // ends: nearness to the end, by 8 beats
	{-0.01053, 0.01493, -0.00146, 0.01576}, // ends: nearness to the end, by 16 beats
	{0, 0, 0, 0},                           // ends: nearness to the end, by 32 beats
	{+0.05910, 0.01289, +0.06036, 0.01246}, // ends: nearness to the end, by 0.5 bars
	{+0.02476, 0.01604, +0.01923, 0.02063}, // ends: nearness to the end, by 1 bars
	{+0.01133, 0.01579, 0, 0},              // ends: nearness to the end, by 2 bars
	{+0.01553, 0.01936, +0.02777, 0.02502}, // ends: nearness to the end, by 4 bars
	{+0.05762, 0.01777, +0.05446, 0.01686}, // ends: nearness to the beginning, by 1 beats
	{0, 0, 0, 0},                           // ends: nearness to the beginning, by 4 beats
	{0, 0, +0.01900, 0.01797},              // ends: nearness to the beginning, by 16 beats
	{0, 0, 0, 0},                           // ends: the same by 2 beats, in dense music
	{-0.03469, 0.01895, -0.04635, 0.01979}, // ends: the same by 2 beats, in wide music
	{+0.00571, 0.01017, 0, 0},              // ends: the same by 2 beats, in long bars
	{-0.15891, 0.05707, -0.16855, 0.07109}, // ends: the same by 2 beats, in uneven music
	{+0.12035, 0.05249, +0.17030, 0.04733}, // ends: the same by 2 beats, on long notes
	{+0.03389, 0.03599, +0.04283, 0.02090}, // ends: the same by 2 beats, in slow music
	{-0.04889, 0.03576, -0.06751, 0.03688}, // ends: the same by 8 beats, in dense music
	{-0.03780, 0.04229, -0.05970, 0.04294}, // ends: the same by 8 beats, in wide music
	{+0.01937, 0.00569, +0.02253, 0.00696}, // ends: the same by 8 beats, in long bars
	{-0.07049, 0.07158, -0.13460, 0.08652}, // ends: the same by 8 beats, in uneven music
	{0, 0, 0, 0},                           // ends: the same by 8 beats, on long notes
	{+0.02792, 0.01884, +0.05187, 0.02548}, // ends: the same by 8 beats, in slow music
	{0, 0, -0.00438, 0.00887},              // ends: place in the piece
	{+0.03810, 0.03396, 0, 0},              // ends: place in the piece, squared
	{+0.04687, 0.01501, 0, 0},              // sections: before a section bar, by 1 beats
	{+0.04696, 0.01416, 0, 0},              // sections: after a section bar, by 1 beats
	{+0.02090, 0.03376, 0, 0},              // sections: before a section bar, by 2 beats
	{+0.01588, 0.00398, 0, 0},              // sections: after a section bar, by 2 beats
	{0, 0, 0, 0},                           // sections: before a section bar, by 4 beats
	{+0.00081, 0.01589, 0, 0},              // sections: after a section bar, by 4 beats
	{0, 0, 0, 0},                           // sections: before a section bar, by 8 beats
	{0, 0, 0, 0},                           // sections: after a section bar, by 8 beats
	{+0.01404, 0.01106, +0.01734, 0.01107}, // sections: before the edge of a repeated passage, by 1 beats
	{+0.01514, 0.00840, +0.02440, 0.01153}, // sections: after the edge of a repeated passage, by 1 beats
	{+0.00015, 0.01585, +0.01482, 0.01703}, // sections: before the edge of a repeated passage, by 2 beats
	{+0.00282, 0.00264, +0.00888, 0.00305}, // sections: after the edge of a repeated passage, by 2 beats
	{0, 0, 0, 0},                           // sections: before the edge of a repeated passage, by 4 beats
	{-0.02248, 0.01389, -0.02970, 0.01710}, // sections: after the edge of a repeated passage, by 4 beats
	{+0.01666, 0.01990, 0, 0},              // sections: before a new key or tempo, by 1 beats
	{+0.08212, 0.03665, 0, 0},              // sections: before a new key or tempo, by 4 beats
	{+0.02870, 0.01008, 0, 0},              // sections: after a new key or tempo, by 2 beats
	{+0.00193, 0.00139, +0.00310, 0.00157}, // sections: how much the music changes 0 beats on
	{+0.00593, 0.00067, +0.00633, 0.00071}, // sections: how much the music changes 1 beats on
	{+0.00170, 0.00081, +0.00179, 0.00081}, // sections: how much the music changes 2 beats on
	{-0.00326, 0.00167, -0.00284, 0.00188}, // sections: how much the music changes 4 beats on
	{0, 0, 0, 0},                           // rests: silence, re 8 beats
	{-0.02467, 0.00645, -0.01855, 0.00645}, // rests: silence, -1 beats, re 8 beats
	{0, 0, 0, 0},                           // rests: silence, +1 beats, re 8 beats
	{0, 0, 0, 0},                           // rests: silence, +2 beats, re 8 beats
	{-0.11209, 0.06019, -0.07424, 0.05737}, // rests: silence, 8 beats re 32
	{-0.10462, 0.06174, -0.10842, 0.09307}, // rests: silence, 32 beats
	{-0.01087, 0.01427, -0.00810, 0.01232}, // rests: silence, the 4 beats after re before
	{-0.02169, 0.01731, -0.01498, 0.02354}, // rests: silence, the 8 beats after re before
	{0, 0, -0.01779, 0.01514},              // rests: nothing begins, re 8 beats
	{-0.00793, 0.00700, -0.01262, 0.00804}, // rests: nothing begins, -1 beats, re 8 beats
	{+0.02430, 0.01199, +0.02024, 0.01103}, // rests: nothing begins, +1 beats, re 8 beats
	{+0.01107, 0.00924, +0.01453, 0.01010}, // rests: nothing begins, +2 beats, re 8 beats
	{+0.11730, 0.03967, +0.10397, 0.04469}, // rests: nothing begins, 8 beats re 32
	{+0.26552, 0.04538, +0.29637, 0.07625}, // rests: nothing begins, 32 beats
	{0, 0, +0.01052, 0.01214},              // rests: nothing begins, the 4 beats after re before
	{0, 0, 0, 0},                           // rests: nothing begins, the 8 beats after re before
	{0, 0, 0, 0},                           // rests: a rest is next
	{+0.02340, 0.00784, +0.01148, 0.01320}, // rests: before a rest, by 2 beats
	{+0.00488, 0.00304, +0.00179, 0.00370}, // rests: longest note, re 8 beats
	{-0.00170, 0.00268, 0, 0},              // rests: longest note, -2 beats, re 8 beats
	{-0.00960, 0.00311, -0.01251, 0.00182}, // rests: longest note, -1 beats, re 8 beats
	{0, 0, 0, 0},                           // rests: longest note, +1 beats, re 8 beats
	{0, 0, +0.00154, 0.00370},              // rests: longest note, +2 beats, re 8 beats
	{-0.00792, 0.00275, -0.00684, 0.00262}, // rests: longest note, +3 beats, re 8 beats
	{-0.02591, 0.01713, 0, 0},              // rests: longest note, 8 beats re 32
	{0, 0, 0, 0},                           // rests: longest note, 32 beats
	{+0.01294, 0.00576, +0.01580, 0.00503}, // rests: longest note, the 4 beats after re before
	{+0.00495, 0.00635, 0, 0},              // rests: longest note, the 8 beats after re before
	{0, 0, +0.00260, 0.00348},              // rests: top's length, re 8 beats
	{0, 0, 0, 0},                           // rests: top's length, -1 beats, re 8 beats
	{+0.01746, 0.00394, +0.01776, 0.00369}, // rests: top's length, +1 beats, re 8 beats
	{-0.00187, 0.00416, 0, 0},              // rests: top's length, +2 beats, re 8 beats
	{+0.03780, 0.01576, +0.02817, 0.01867}, // rests: top's length, 8 beats re 32
	{+0.02990, 0.03384, +0.09180, 0.06047}, // rests: top's length, 32 beats
	{-0.00761, 0.00645, -0.00890, 0.00626}, // rests: top's length, the 4 beats after re before
	{-0.00606, 0.00706, -0.00495, 0.00432}, // rests: top's length, the 8 beats after re before
	{+0.00307, 0.00593, +0.01480, 0.00526}, // rests: longer note than around, +0 beats
	{+0.03563, 0.00409, +0.04377, 0.00646}, // rests: longer note than around, +1 beats
	{+0.02125, 0.00325, +0.02943, 0.00328}, // rests: longer note than around, -1 beats
	{0, 0, 0, 0},                           // rests: a much longer note
	{+0.00643, 0.00562, +0.00791, 0.00482}, // rests: before a much longer note, by 2 beats
	{-0.00519, 0.00588, -0.00527, 0.00697}, // rests: after a much longer note
	{+0.07651, 0.00995, +0.09487, 0.01765}, // rests: fewer onsets than around, +0 beats
	{+0.06635, 0.00933, +0.08678, 0.00804}, // rests: fewer onsets than around, +1 beats
	{+0.07659, 0.01329, +0.09265, 0.01773}, // rests: fewer onsets than around, -1 beats
	{0, 0, 0, 0},                           // rests: fewer onsets than around, in slow music
	{+0.00703, 0.00878, +0.00847, 0.00957}, // rests: longer note than around, in slow music
	{-0.00943, 0.00357, -0.00966, 0.00340}, // texture: notes, re 8 beats
	{+0.00390, 0.00522, +0.00421, 0.00469}, // texture: notes, -2 beats, re 8 beats
	{+0.00171, 0.00287, +0.00451, 0.00279}, // texture: notes, -1 beats, re 8 beats
	{+0.00318, 0.00273, +0.00254, 0.00716}, // texture: notes, +1 beats, re 8 beats
	{+0.00255, 0.00254, 0, 0},              // texture: notes, +2 beats, re 8 beats
	{-0.00198, 0.00258, -0.00325, 0.00281}, // texture: notes, +3 beats, re 8 beats
	{+0.01185, 0.01139, +0.02169, 0.01479}, // texture: notes, 8 beats re 32
	{+0.04214, 0.03091, +0.04310, 0.03465}, // texture: notes, 32 beats
	{+0.00368, 0.00278, +0.00155, 0.00318}, // texture: notes, the 4 beats after re before
	{0, 0, 0, 0},                           // texture: notes, the 8 beats after re before
	{-0.03018, 0.00682, -0.03540, 0.00709}, // texture: onsets, re 8 beats
	{0, 0, 0, 0},                           // texture: onsets, -2 beats, re 8 beats
	{+0.01080, 0.00732, +0.01147, 0.01183}, // texture: onsets, -1 beats, re 8 beats
	{-0.00893, 0.00926, 0, 0},              // texture: onsets, +1 beats, re 8 beats
	{+0.00887, 0.00561, +0.00903, 0.00472}, // texture: onsets, +2 beats, re 8 beats
	{-0.01327, 0.00571, -0.01441, 0.00606}, // texture: onsets, +3 beats, re 8 beats
	{-0.04845, 0.00731, -0.06178, 0.00858}, // texture: onsets, 8 beats re 32
	{0, 0, 0, 0},                           // texture: onsets, 32 beats
	{+0.00200, 0.00289, +0.00729, 0.00716}, // texture: onsets, the 4 beats after re before
	{-0.00383, 0.00392, 0, 0},              // texture: onsets, the 8 beats after re before
	{+0.01595, 0.00443, +0.01638, 0.00310}, // texture: largest chord, re 8 beats
	{-0.00312, 0.00332, -0.00343, 0.00190}, // texture: largest chord, -2 beats, re 8 beats
	{0, 0, -0.00338, 0.00441},              // texture: largest chord, -1 beats, re 8 beats
	{+0.00597, 0.00354, +0.00603, 0.00561}, // texture: largest chord, +1 beats, re 8 beats
	{-0.01358, 0.00361, -0.01222, 0.00342}, // texture: largest chord, +2 beats, re 8 beats
	{+0.02182, 0.01683, +0.02398, 0.02124}, // texture: largest chord, 8 beats re 32
	{+0.03420, 0.03106, +0.04183, 0.02933}, // texture: largest chord, 32 beats
	{-0.00837, 0.00402, -0.00468, 0.00431}, // texture: largest chord, the 4 beats after re before
	{-0.00454, 0.00538, 0, 0},              // texture: largest chord, the 8 beats after re before
	{+0.01486, 0.00534, +0.01257, 0.00631}, // texture: what sounds, re 8 beats
	{+0.00659, 0.00336, +0.00473, 0.00387}, // texture: what sounds, -1 beats, re 8 beats
	{0, 0, 0, 0},                           // texture: what sounds, +1 beats, re 8 beats
	{0, 0, 0, 0},                           // texture: what sounds, +2 beats, re 8 beats
	{+0.03649, 0.01741, +0.01702, 0.01721}, // texture: what sounds, 8 beats re 32
	{+0.02962, 0.02754, 0, 0},              // texture: what sounds, 32 beats
	{-0.00597, 0.00387, -0.00593, 0.00414}, // texture: what sounds, the 4 beats after re before
	{+0.01553, 0.00497, +0.00896, 0.00425}, // texture: what sounds, the 8 beats after re before
	{+0.03239, 0.00771, +0.05120, 0.01062}, // texture: more onsets than around
	{+0.03576, 0.01176, +0.03861, 0.01476}, // texture: onsets, in slow music
	{0, 0, -0.00091, 0.00180},              // line: highest key, re 8 beats
	{0, 0, 0, 0},                           // line: highest key, -2 beats, re 8 beats
	{-0.00335, 0.00153, -0.00377, 0.00140}, // line: highest key, -1 beats, re 8 beats
	{0, 0, 0, 0},                           // line: highest key, +1 beats, re 8 beats
	{-0.00162, 0.00165, -0.00203, 0.00187}, // line: highest key, +2 beats, re 8 beats
	{0, 0, 0, 0},                           // line: highest key, +3 beats, re 8 beats
	{-0.00385, 0.00496, -0.00645, 0.00464}, // line: highest key, 8 beats re 32
	{-0.01228, 0.01028, -0.02293, 0.01533}, // line: highest key, 32 beats
	{-0.00300, 0.00135, -0.00246, 0.00134}, // line: highest key, the 4 beats after re before
	{-0.00301, 0.00135, -0.00510, 0.00199}, // line: highest key, the 8 beats after re before
	{-0.00659, 0.00112, -0.00791, 0.00119}, // line: lowest key, re 8 beats
	{+0.00169, 0.00129, +0.00173, 0.00146}, // line: lowest key, -2 beats, re 8 beats
	{+0.00069, 0.00186, +0.00073, 0.00180}, // line: lowest key, -1 beats, re 8 beats
	{-0.00272, 0.00137, -0.00247, 0.00140}, // line: lowest key, +1 beats, re 8 beats
	{+0.00805, 0.00092, +0.00839, 0.00099}, // line: lowest key, +2 beats, re 8 beats
	{-0.00582, 0.00382, -0.00194, 0.00501}, // line: lowest key, 8 beats re 32
	{+0.01978, 0.01049, +0.02516, 0.01271}, // line: lowest key, 32 beats
	{0, 0, 0, 0},                           // line: lowest key, the 4 beats after re before
	{0, 0, 0, 0},                           // line: lowest key, the 8 beats after re before
	{-0.00648, 0.00135, -0.00690, 0.00160}, // line: mean key, re 8 beats
	{-0.00394, 0.00213, -0.00371, 0.00228}, // line: mean key, -1 beats, re 8 beats
	{+0.00236, 0.00112, +0.00320, 0.00152}, // line: mean key, +1 beats, re 8 beats
	{-0.00659, 0.00377, -0.00785, 0.00442}, // line: mean key, 8 beats re 32
	{-0.01175, 0.01326, -0.01099, 0.01708}, // line: mean key, 32 beats
	{0, 0, 0, 0},                           // line: mean key, the 4 beats after re before
	{-0.00077, 0.00221, -0.00035, 0.00200}, // line: mean key, the 8 beats after re before
	{+0.00595, 0.00197, +0.00582, 0.00097}, // line: span, re 8 beats
	{0, 0, 0, 0},                           // line: span, 8 beats re 32
	{-0.00484, 0.00278, -0.00817, 0.00414}, // line: leap of the top
	{0, 0, 0, 0},                           // line: leap of the top to come
	{+0.00281, 0.00299, 0, 0},              // line: leap up of the top to come
	{+0.00380, 0.00182, +0.00331, 0.00169}, // line: leap of the bass
	{+0.01773, 0.00161, +0.01832, 0.00148}, // line: leap of the bass to come
	{+0.00993, 0.00263, +0.01088, 0.00340}, // line: peak of the top
	{+0.00439, 0.00270, +0.00401, 0.00336}, // line: peak of the top next
	{0, 0, 0, 0},                           // line: top re the 8 beats after
	{+0.01001, 0.00443, +0.00826, 0.00610}, // bar: first of the bar
	{+0.01608, 0.00507, +0.01802, 0.00377}, // bar: last of the bar
	{+0.00690, 0.00357, +0.00680, 0.00454}, // bar: middle of the bar
	{+0.00386, 0.00588, 0, 0},              // bar: place in the bar
	{+0.00554, 0.00131, +0.00615, 0.00224}, // bar: place in the bar, as a wave
	{+0.00087, 0.00171, 0, 0},              // bar: place in the bar, as a later wave
	{+0.00736, 0.00161, +0.00597, 0.00246}, // bar: last beat of 2 bars
	{0, 0, +0.00234, 0.00302},              // bar: last half bar of 2
	{+0.00264, 0.00136, +0.00264, 0.00100}, // bar: first beat of 2 bars
	{+0.00302, 0.00298, +0.00319, 0.00309}, // bar: last beat of 4 bars
	{0, 0, 0, 0},                           // bar: last half bar of 4
	{0, 0, 0, 0},                           // bar: first beat of 4 bars
	{+0.00327, 0.00233, +0.00345, 0.00221}, // bar: last beat of 8 bars
	{0, 0, 0, 0},                           // bar: last half bar of 8
	{+0.00242, 0.00214, +0.00317, 0.00205}, // bar: first beat of 8 bars
	{0, 0, 0, 0},                           // bar: a note on the beat, re 8 beats
	{-0.01077, 0.00989, 0, 0},              // bar: a note on the beat, -1 beats, re 8 beats
	{-0.00822, 0.00957, -0.01351, 0.00976}, // bar: a note on the beat, +1 beats, re 8 beats
	{-0.02817, 0.01016, -0.03024, 0.01065}, // bar: a note on the beat, +2 beats, re 8 beats
	{-0.05912, 0.03195, -0.05502, 0.03052}, // bar: a note on the beat, 8 beats re 32
	{-0.02587, 0.03343, -0.02569, 0.04116}, // bar: a note on the beat, 32 beats
	{0, 0, 0, 0},                           // bar: a note on the beat, the 4 beats after re before
	{-0.01532, 0.00975, -0.00688, 0.01126}, // bar: a note on the beat, the 8 beats after re before
	{+0.00623, 0.00250, +0.00842, 0.00240}, // harmony: the harmony stays, -1 beats
	{-0.00781, 0.00253, -0.00641, 0.00283}, // harmony: the harmony stays, +0 beats
	{-0.00377, 0.00270, -0.00233, 0.00357}, // harmony: the harmony stays, +1 beats
	{+0.00911, 0.00243, +0.01110, 0.00178}, // harmony: the harmony stays, +2 beats
	{+0.02116, 0.01687, +0.05431, 0.02269}, // harmony: the harmony stays, 8 beats
	{+0.00708, 0.00305, +0.00847, 0.00288}, // harmony: the bass falls a fifth
	{+0.00375, 0.00348, +0.00509, 0.00348}, // harmony: the bass falls a fifth next
	{+0.17325, 0.02064, 0, 0},              // marks: fermata, -1 beats
	{+0.21115, 0.01877, 0, 0},              // marks: fermata, +0 beats
	{+0.12113, 0.01691, 0, 0},              // marks: fermata, +1 beats
	{+0.05117, 0.02757, 0, 0},              // marks: fermata, +2 beats
	{+0.00984, 0.00268, 0, 0},              // marks: slur ends, -1 beats
	{+0.01428, 0.00239, 0, 0},              // marks: slur ends, +0 beats
	{+0.00230, 0.00291, 0, 0},              // marks: slur ends, +1 beats
	{-0.00278, 0.00404, 0, 0},              // marks: slur begins, -1 beats
	{+0.00987, 0.00380, 0, 0},              // marks: slur begins, +0 beats
	{+0.01657, 0.00313, 0, 0},              // marks: slur begins, +1 beats
	{+0.04793, 0.01943, 0, 0},              // marks: tenuto, +0 beats
	{0, 0, 0, 0},                           // marks: tenuto, +1 beats
	{+0.05643, 0.01583, 0, 0},              // marks: spread chord, +0 beats
	{+0.01062, 0.01553, 0, 0},              // marks: spread chord, +1 beats
	{+0.01651, 0.00827, 0, 0},              // marks: ornament, +0 beats
	{+0.01274, 0.01053, 0, 0},              // marks: ornament, +1 beats
	{0, 0, 0, 0},                           // marks: grace notes, +0 beats
	{0, 0, 0, 0},                           // marks: grace notes, +1 beats
	{0, 0, 0, 0},                           // marks: staccato
	{-0.06914, 0.03048, 0, 0},              // marks: staccato, 8 beats
	{+0.03061, 0.01069, 0, 0},              // marks: accents
	{-0.34506, 0.09910, 0, 0},              // marks: accents, 8 beats
	{-0.00811, 0.00178, 0, 0},              // marks: written level
	{-0.00760, 0.00096, 0, 0},              // marks: written level, the 4 beats after re before
	{+0.01858, 0.01286, 0, 0},              // marks: sforzato
	{-0.02484, 0.00744, 0, 0},              // marks: under a crescendo
	{+0.01114, 0.00561, 0, 0},              // marks: under a diminuendo
	{+0.01244, 0.01331, 0, 0},              // marks: crescendo in the 4 beats before
	{+0.02769, 0.01046, 0, 0},              // marks: diminuendo in the 4 beats before
	{-0.02518, 0.01987, 0, 0},              // marks: crescendo as a word
	{+0.05364, 0.03450, 0, 0},              // marks: diminuendo as a word
	{+0.26631, 0.05658, 0, 0},              // words: written tempo in numbers
	{+0.05808, 0.06971, 0, 0},              // words: written tempo in words
	{+0.09828, 0.03718, 0, 0},              // words: a new number
	{-0.03866, 0.03149, 0, 0},              // words: before a new number, by 2 beats
	{+0.19221, 0.04503, 0, 0},              // words: before a new number, by 6 beats
	{+0.14109, 0.02090, 0, 0},              // words: ritardando
	{+0.05922, 0.01379, 0, 0},              // words: ritardando, how far
	{-0.01712, 0.01504, 0, 0},              // words: ritardando, its end
	{-0.02824, 0.02521, 0, 0},              // words: accelerando
	{-0.02357, 0.02910, 0, 0},              // words: accelerando, how far
	{+0.12801, 0.03980, 0, 0},              // words: after a tempo
	{-0.13325, 0.04053, 0, 0},              // words: after a word: dying away
	{+0.09372, 0.05025, 0, 0},              // words: at a word: dying away
	{+0.15671, 0.04602, 0, 0},              // words: after a word: calm
	{0, 0, 0, 0},                           // words: at a word: calm
	{-0.09807, 0.06336, 0, 0},              // words: after a word: stirred
	{+0.18997, 0.05499, 0, 0},              // words: at a word: stirred
	{0, 0, 0, 0},                           // words: after a word: free time
	{+0.22508, 0.20069, 0, 0},              // words: at a word: free time
}
