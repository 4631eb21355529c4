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
	{+0.10303, 0.01423, +0.09985, 0.01279}, // ends: nearness to the end, by 0.5 beats
	{+0.08270, 0.00911, +0.07961, 0.00687}, // ends: nearness to the end, by 1 beats
	{+0.04134, 0.01442, +0.03308, 0.01408}, // ends: nearness to the end, by 2 beats
	{0, 0, -0.00693, 0.01775},              // ends: nearness to the end, by 4 beats
	{-0.01522, 0.01925, -0.01979, 0.01766}, // ends: nearness to the end, by 8 beats
	{0, 0, 0, 0},                           // ends: nearness to the end, by 16 beats
	{0, 0, 0, 0},                           // ends: nearness to the end, by 32 beats
	{+0.05889, 0.01533, +0.06045, 0.01407}, // ends: nearness to the end, by 0.5 bars
	{+0.02392, 0.01127, +0.02078, 0.01932}, // ends: nearness to the end, by 1 bars
	{+0.00890, 0.00918, 0, 0},              // ends: nearness to the end, by 2 bars
	{+0.01081, 0.01458, +0.02392, 0.01962}, // ends: nearness to the end, by 4 bars
	{+0.05888, 0.01991, +0.05349, 0.01230}, // ends: nearness to the beginning, by 1 beats
	{0, 0, 0, 0},                           // ends: nearness to the beginning, by 4 beats
	{0, 0, +0.02384, 0.01498},              // ends: nearness to the beginning, by 16 beats
	{0, 0, 0, 0},                           // ends: the same by 2 beats, in dense music
	{-0.03931, 0.01039, -0.04671, 0.01569}, // ends: the same by 2 beats, in wide music
	{0, 0, 0, 0},                           // ends: the same by 2 beats, in long bars
	{-0.15301, 0.05906, -0.16510, 0.06082}, // ends: the same by 2 beats, in uneven music
	{+0.12073, 0.04748, +0.16972, 0.04561}, // ends: the same by 2 beats, on long notes
	{+0.03337, 0.03047, +0.04401, 0.02068}, // ends: the same by 2 beats, in slow music
	{-0.05162, 0.02376, -0.06781, 0.02718}, // ends: the same by 8 beats, in dense music
	{-0.03570, 0.04408, -0.05934, 0.04391}, // ends: the same by 8 beats, in wide music
	{+0.02200, 0.00727, +0.02262, 0.00725}, // ends: the same by 8 beats, in long bars
	{-0.07626, 0.08510, -0.13708, 0.10322}, // ends: the same by 8 beats, in uneven music
	{0, 0, 0, 0},                           // ends: the same by 8 beats, on long notes
	{+0.02829, 0.02328, +0.05176, 0.02555}, // ends: the same by 8 beats, in slow music
	{0, 0, 0, 0},                           // ends: place in the piece
	{+0.03694, 0.02644, 0, 0},              // ends: place in the piece, squared
	{+0.04688, 0.00881, 0, 0},              // sections: before a section bar, by 1 beats
	{+0.04690, 0.01455, 0, 0},              // sections: after a section bar, by 1 beats
	{+0.02103, 0.02314, 0, 0},              // sections: before a section bar, by 2 beats
	{+0.01584, 0.00414, 0, 0},              // sections: after a section bar, by 2 beats
	{0, 0, 0, 0},                           // sections: before a section bar, by 4 beats
	{+0.00097, 0.02029, 0, 0},              // sections: after a section bar, by 4 beats
	{0, 0, 0, 0},                           // sections: before a section bar, by 8 beats
	{0, 0, 0, 0},                           // sections: after a section bar, by 8 beats
	{+0.01423, 0.01077, +0.01734, 0.01158}, // sections: before the edge of a repeated passage, by 1 beats
	{+0.01503, 0.00490, +0.02425, 0.00806}, // sections: after the edge of a repeated passage, by 1 beats
	{+0.00025, 0.01559, +0.01538, 0.01779}, // sections: before the edge of a repeated passage, by 2 beats
	{+0.00274, 0.00292, +0.00870, 0.00247}, // sections: after the edge of a repeated passage, by 2 beats
	{0, 0, 0, 0},                           // sections: before the edge of a repeated passage, by 4 beats
	{-0.02236, 0.00917, -0.02909, 0.01324}, // sections: after the edge of a repeated passage, by 4 beats
	{+0.01677, 0.02100, 0, 0},              // sections: before a new key or tempo, by 1 beats
	{+0.08216, 0.03530, 0, 0},              // sections: before a new key or tempo, by 4 beats
	{+0.02822, 0.01215, 0, 0},              // sections: after a new key or tempo, by 2 beats
	{+0.00192, 0.00119, +0.00307, 0.00141}, // sections: how much the music changes 0 beats on
	{+0.00589, 0.00064, +0.00630, 0.00072}, // sections: how much the music changes 1 beats on
	{+0.00170, 0.00090, +0.00177, 0.00086}, // sections: how much the music changes 2 beats on
	{-0.00323, 0.00148, -0.00280, 0.00165}, // sections: how much the music changes 4 beats on
	{0, 0, -0.00846, 0.00938},              // rests: silence, re 8 beats
	{-0.02430, 0.00782, -0.01909, 0.00664}, // rests: silence, -1 beats, re 8 beats
	{0, 0, 0, 0},                           // rests: silence, +1 beats, re 8 beats
	{0, 0, 0, 0},                           // rests: silence, +2 beats, re 8 beats
	{-0.11198, 0.06019, -0.07303, 0.05480}, // rests: silence, 8 beats re 32
	{-0.10540, 0.06529, -0.10329, 0.09825}, // rests: silence, 32 beats
	{-0.01032, 0.01146, -0.00739, 0.00938}, // rests: silence, the 4 beats after re before
	{-0.02186, 0.01565, -0.01549, 0.02132}, // rests: silence, the 8 beats after re before
	{-0.01159, 0.01211, -0.01628, 0.01301}, // rests: nothing begins, re 8 beats
	{-0.00821, 0.01025, -0.01558, 0.01063}, // rests: nothing begins, -1 beats, re 8 beats
	{+0.02450, 0.00993, +0.02076, 0.00836}, // rests: nothing begins, +1 beats, re 8 beats
	{+0.01117, 0.00673, +0.01463, 0.00797}, // rests: nothing begins, +2 beats, re 8 beats
	{+0.11700, 0.03678, +0.10142, 0.04118}, // rests: nothing begins, 8 beats re 32
	{+0.26473, 0.05391, +0.31612, 0.07206}, // rests: nothing begins, 32 beats
	{0, 0, +0.01025, 0.01331},              // rests: nothing begins, the 4 beats after re before
	{0, 0, 0, 0},                           // rests: nothing begins, the 8 beats after re before
	{0, 0, 0, 0},                           // rests: a rest is next
	{+0.02344, 0.00839, +0.01043, 0.01361}, // rests: before a rest, by 2 beats
	{+0.00308, 0.00305, +0.00196, 0.00299}, // rests: longest note, re 8 beats
	{0, 0, 0, 0},                           // rests: longest note, -2 beats, re 8 beats
	{-0.00950, 0.00378, -0.01182, 0.00341}, // rests: longest note, -1 beats, re 8 beats
	{0, 0, 0, 0},                           // rests: longest note, +1 beats, re 8 beats
	{0, 0, +0.00141, 0.00327},              // rests: longest note, +2 beats, re 8 beats
	{-0.00793, 0.00200, -0.00689, 0.00230}, // rests: longest note, +3 beats, re 8 beats
	{-0.02617, 0.02005, 0, 0},              // rests: longest note, 8 beats re 32
	{0, 0, 0, 0},                           // rests: longest note, 32 beats
	{+0.01363, 0.00417, +0.01577, 0.00448}, // rests: longest note, the 4 beats after re before
	{+0.00538, 0.00687, 0, 0},              // rests: longest note, the 8 beats after re before
	{0, 0, +0.00240, 0.00291},              // rests: top's length, re 8 beats
	{0, 0, 0, 0},                           // rests: top's length, -1 beats, re 8 beats
	{+0.01732, 0.00387, +0.01763, 0.00352}, // rests: top's length, +1 beats, re 8 beats
	{-0.00184, 0.00431, 0, 0},              // rests: top's length, +2 beats, re 8 beats
	{+0.03749, 0.01219, +0.02852, 0.01848}, // rests: top's length, 8 beats re 32
	{+0.02995, 0.02563, +0.09068, 0.05471}, // rests: top's length, 32 beats
	{-0.00783, 0.00529, -0.00922, 0.00538}, // rests: top's length, the 4 beats after re before
	{-0.00591, 0.00637, -0.00479, 0.00572}, // rests: top's length, the 8 beats after re before
	{+0.00418, 0.00474, +0.01497, 0.00528}, // rests: longer note than around, +0 beats
	{+0.03537, 0.00573, +0.04379, 0.00768}, // rests: longer note than around, +1 beats
	{+0.02155, 0.00397, +0.02910, 0.00551}, // rests: longer note than around, -1 beats
	{0, 0, 0, 0},                           // rests: a much longer note
	{+0.00656, 0.00554, +0.00789, 0.00561}, // rests: before a much longer note, by 2 beats
	{-0.00590, 0.00548, -0.00546, 0.00549}, // rests: after a much longer note
	{+0.07957, 0.01266, +0.09626, 0.01684}, // rests: fewer onsets than around, +0 beats
	{+0.06559, 0.01009, +0.08732, 0.00894}, // rests: fewer onsets than around, +1 beats
	{+0.07584, 0.01250, +0.09278, 0.01540}, // rests: fewer onsets than around, -1 beats
	{0, 0, 0, 0},                           // rests: fewer onsets than around, in slow music
	{+0.00695, 0.00775, +0.00845, 0.01029}, // rests: longer note than around, in slow music
	{-0.00982, 0.00298, -0.00946, 0.00280}, // texture: notes, re 8 beats
	{+0.00394, 0.00463, +0.00408, 0.00432}, // texture: notes, -2 beats, re 8 beats
	{+0.00177, 0.00345, +0.00453, 0.00215}, // texture: notes, -1 beats, re 8 beats
	{+0.00268, 0.00287, +0.00279, 0.00558}, // texture: notes, +1 beats, re 8 beats
	{+0.00268, 0.00227, 0, 0},              // texture: notes, +2 beats, re 8 beats
	{-0.00193, 0.00216, -0.00311, 0.00216}, // texture: notes, +3 beats, re 8 beats
	{+0.01177, 0.01210, +0.02168, 0.01630}, // texture: notes, 8 beats re 32
	{+0.04201, 0.03925, +0.03984, 0.04283}, // texture: notes, 32 beats
	{+0.00379, 0.00373, 0, 0},              // texture: notes, the 4 beats after re before
	{0, 0, 0, 0},                           // texture: notes, the 8 beats after re before
	{-0.03184, 0.00793, -0.03600, 0.00725}, // texture: onsets, re 8 beats
	{0, 0, 0, 0},                           // texture: onsets, -2 beats, re 8 beats
	{+0.01051, 0.00699, +0.01190, 0.01181}, // texture: onsets, -1 beats, re 8 beats
	{-0.00895, 0.00784, 0, 0},              // texture: onsets, +1 beats, re 8 beats
	{+0.00882, 0.00442, +0.00906, 0.00427}, // texture: onsets, +2 beats, re 8 beats
	{-0.01360, 0.00550, -0.01449, 0.00587}, // texture: onsets, +3 beats, re 8 beats
	{-0.04835, 0.00920, -0.06123, 0.01283}, // texture: onsets, 8 beats re 32
	{0, 0, 0, 0},                           // texture: onsets, 32 beats
	{+0.00230, 0.00338, +0.00814, 0.00717}, // texture: onsets, the 4 beats after re before
	{-0.00377, 0.00354, 0, 0},              // texture: onsets, the 8 beats after re before
	{+0.01369, 0.00298, +0.01699, 0.00359}, // texture: largest chord, re 8 beats
	{-0.00369, 0.00175, -0.00355, 0.00122}, // texture: largest chord, -2 beats, re 8 beats
	{0, 0, -0.00332, 0.00436},              // texture: largest chord, -1 beats, re 8 beats
	{+0.00528, 0.00257, +0.00625, 0.00502}, // texture: largest chord, +1 beats, re 8 beats
	{-0.01360, 0.00308, -0.01203, 0.00354}, // texture: largest chord, +2 beats, re 8 beats
	{+0.02178, 0.01851, +0.02427, 0.02207}, // texture: largest chord, 8 beats re 32
	{+0.03429, 0.03077, +0.04467, 0.02739}, // texture: largest chord, 32 beats
	{-0.00835, 0.00428, -0.00399, 0.00431}, // texture: largest chord, the 4 beats after re before
	{-0.00444, 0.00581, 0, 0},              // texture: largest chord, the 8 beats after re before
	{+0.01468, 0.00496, +0.01043, 0.00550}, // texture: what sounds, re 8 beats
	{+0.00609, 0.00319, +0.00523, 0.00403}, // texture: what sounds, -1 beats, re 8 beats
	{+0.00253, 0.00233, -0.00045, 0.00217}, // texture: what sounds, +1 beats, re 8 beats
	{0, 0, 0, 0},                           // texture: what sounds, +2 beats, re 8 beats
	{+0.03661, 0.01480, +0.01647, 0.01709}, // texture: what sounds, 8 beats re 32
	{+0.02940, 0.03186, 0, 0},              // texture: what sounds, 32 beats
	{-0.00686, 0.00270, -0.00572, 0.00339}, // texture: what sounds, the 4 beats after re before
	{+0.01541, 0.00493, +0.00898, 0.00450}, // texture: what sounds, the 8 beats after re before
	{+0.03259, 0.01144, +0.05169, 0.01266}, // texture: more onsets than around
	{+0.03824, 0.01439, +0.03877, 0.01600}, // texture: onsets, in slow music
	{0, 0, -0.00084, 0.00143},              // line: highest key, re 8 beats
	{0, 0, 0, 0},                           // line: highest key, -2 beats, re 8 beats
	{-0.00360, 0.00201, -0.00384, 0.00161}, // line: highest key, -1 beats, re 8 beats
	{0, 0, 0, 0},                           // line: highest key, +1 beats, re 8 beats
	{-0.00169, 0.00134, -0.00205, 0.00159}, // line: highest key, +2 beats, re 8 beats
	{0, 0, 0, 0},                           // line: highest key, +3 beats, re 8 beats
	{-0.00393, 0.00472, -0.00639, 0.00436}, // line: highest key, 8 beats re 32
	{-0.01232, 0.00725, -0.02344, 0.01169}, // line: highest key, 32 beats
	{-0.00301, 0.00118, -0.00250, 0.00121}, // line: highest key, the 4 beats after re before
	{-0.00289, 0.00116, -0.00499, 0.00174}, // line: highest key, the 8 beats after re before
	{-0.00675, 0.00100, -0.00795, 0.00082}, // line: lowest key, re 8 beats
	{+0.00181, 0.00162, +0.00172, 0.00165}, // line: lowest key, -2 beats, re 8 beats
	{0, 0, +0.00079, 0.00191},              // line: lowest key, -1 beats, re 8 beats
	{-0.00259, 0.00129, -0.00246, 0.00134}, // line: lowest key, +1 beats, re 8 beats
	{+0.00813, 0.00119, +0.00840, 0.00127}, // line: lowest key, +2 beats, re 8 beats
	{-0.00577, 0.00330, -0.00203, 0.00439}, // line: lowest key, 8 beats re 32
	{+0.01986, 0.00924, +0.02561, 0.01149}, // line: lowest key, 32 beats
	{0, 0, 0, 0},                           // line: lowest key, the 4 beats after re before
	{0, 0, 0, 0},                           // line: lowest key, the 8 beats after re before
	{-0.00641, 0.00155, -0.00697, 0.00187}, // line: mean key, re 8 beats
	{-0.00321, 0.00279, -0.00373, 0.00195}, // line: mean key, -1 beats, re 8 beats
	{+0.00236, 0.00141, +0.00327, 0.00194}, // line: mean key, +1 beats, re 8 beats
	{-0.00658, 0.00431, -0.00774, 0.00492}, // line: mean key, 8 beats re 32
	{-0.01174, 0.01286, -0.01153, 0.01640}, // line: mean key, 32 beats
	{0, 0, 0, 0},                           // line: mean key, the 4 beats after re before
	{-0.00086, 0.00273, -0.00039, 0.00228}, // line: mean key, the 8 beats after re before
	{+0.00641, 0.00177, +0.00590, 0.00101}, // line: span, re 8 beats
	{0, 0, 0, 0},                           // line: span, 8 beats re 32
	{-0.00492, 0.00329, -0.00821, 0.00460}, // line: leap of the top
	{0, 0, 0, 0},                           // line: leap of the top to come
	{+0.00249, 0.00213, 0, 0},              // line: leap up of the top to come
	{+0.00368, 0.00137, +0.00336, 0.00110}, // line: leap of the bass
	{+0.01763, 0.00115, +0.01833, 0.00124}, // line: leap of the bass to come
	{+0.00990, 0.00258, +0.01080, 0.00317}, // line: peak of the top
	{+0.00447, 0.00217, +0.00398, 0.00247}, // line: peak of the top next
	{0, 0, 0, 0},                           // line: top re the 8 beats after
	{+0.00988, 0.00303, +0.00716, 0.00603}, // bar: first of the bar
	{+0.01631, 0.00423, +0.01813, 0.00369}, // bar: last of the bar
	{+0.00683, 0.00348, +0.00618, 0.00482}, // bar: middle of the bar
	{+0.00401, 0.00605, 0, 0},              // bar: place in the bar
	{+0.00557, 0.00122, +0.00631, 0.00221}, // bar: place in the bar, as a wave
	{+0.00081, 0.00097, 0, 0},              // bar: place in the bar, as a later wave
	{+0.00806, 0.00262, +0.00691, 0.00266}, // bar: last beat of 2 bars
	{0, 0, +0.00254, 0.00261},              // bar: last half bar of 2
	{+0.00297, 0.00185, +0.00297, 0.00177}, // bar: first beat of 2 bars
	{-0.00153, 0.00337, -0.00181, 0.00277}, // bar: last beat of 4 bars
	{0, 0, 0, 0},                           // bar: last half bar of 4
	{0, 0, 0, 0},                           // bar: first beat of 4 bars
	{+0.00613, 0.00363, +0.00649, 0.00446}, // bar: last beat of 8 bars
	{0, 0, 0, 0},                           // bar: last half bar of 8
	{+0.00194, 0.00188, +0.00243, 0.00164}, // bar: first beat of 8 bars
	{0, 0, 0, 0},                           // bar: a note on the beat, re 8 beats
	{-0.01071, 0.00714, -0.00614, 0.00728}, // bar: a note on the beat, -1 beats, re 8 beats
	{-0.00835, 0.00883, -0.01315, 0.00957}, // bar: a note on the beat, +1 beats, re 8 beats
	{-0.02786, 0.00675, -0.02992, 0.00737}, // bar: a note on the beat, +2 beats, re 8 beats
	{-0.05896, 0.02862, -0.05872, 0.02396}, // bar: a note on the beat, 8 beats re 32
	{-0.02593, 0.03420, 0, 0},              // bar: a note on the beat, 32 beats
	{0, 0, 0, 0},                           // bar: a note on the beat, the 4 beats after re before
	{-0.01557, 0.01097, -0.00784, 0.01161}, // bar: a note on the beat, the 8 beats after re before
	{+0.00628, 0.00216, +0.00848, 0.00228}, // harmony: the harmony stays, -1 beats
	{-0.00780, 0.00244, -0.00660, 0.00332}, // harmony: the harmony stays, +0 beats
	{-0.00414, 0.00278, -0.00234, 0.00373}, // harmony: the harmony stays, +1 beats
	{+0.00904, 0.00239, +0.01095, 0.00162}, // harmony: the harmony stays, +2 beats
	{+0.02153, 0.01666, +0.05678, 0.02529}, // harmony: the harmony stays, 8 beats
	{+0.00706, 0.00302, +0.00860, 0.00277}, // harmony: the bass falls a fifth
	{+0.00376, 0.00417, +0.00524, 0.00432}, // harmony: the bass falls a fifth next
	{+0.17389, 0.02690, 0, 0},              // marks: fermata, -1 beats
	{+0.21056, 0.03319, 0, 0},              // marks: fermata, +0 beats
	{+0.12102, 0.03545, 0, 0},              // marks: fermata, +1 beats
	{+0.05103, 0.02538, 0, 0},              // marks: fermata, +2 beats
	{+0.00989, 0.00260, 0, 0},              // marks: slur ends, -1 beats
	{+0.01431, 0.00276, 0, 0},              // marks: slur ends, +0 beats
	{+0.00223, 0.00178, 0, 0},              // marks: slur ends, +1 beats
	{-0.00283, 0.00294, 0, 0},              // marks: slur begins, -1 beats
	{+0.00989, 0.00374, 0, 0},              // marks: slur begins, +0 beats
	{+0.01650, 0.00246, 0, 0},              // marks: slur begins, +1 beats
	{+0.04775, 0.01880, 0, 0},              // marks: tenuto, +0 beats
	{0, 0, 0, 0},                           // marks: tenuto, +1 beats
	{+0.05680, 0.01498, 0, 0},              // marks: spread chord, +0 beats
	{+0.01031, 0.01445, 0, 0},              // marks: spread chord, +1 beats
	{+0.01683, 0.01136, 0, 0},              // marks: ornament, +0 beats
	{+0.01260, 0.00849, 0, 0},              // marks: ornament, +1 beats
	{0, 0, 0, 0},                           // marks: grace notes, +0 beats
	{0, 0, 0, 0},                           // marks: grace notes, +1 beats
	{0, 0, 0, 0},                           // marks: staccato
	{-0.06917, 0.02885, 0, 0},              // marks: staccato, 8 beats
	{+0.02977, 0.01199, 0, 0},              // marks: accents
	{-0.34441, 0.09815, 0, 0},              // marks: accents, 8 beats
	{-0.00811, 0.00202, 0, 0},              // marks: written level
	{-0.00759, 0.00125, 0, 0},              // marks: written level, the 4 beats after re before
	{+0.01867, 0.01135, 0, 0},              // marks: sforzato
	{-0.02486, 0.00780, 0, 0},              // marks: under a crescendo
	{+0.01114, 0.00590, 0, 0},              // marks: under a diminuendo
	{+0.01243, 0.01351, 0, 0},              // marks: crescendo in the 4 beats before
	{+0.02776, 0.01047, 0, 0},              // marks: diminuendo in the 4 beats before
	{-0.02523, 0.01956, 0, 0},              // marks: crescendo as a word
	{+0.05358, 0.03495, 0, 0},              // marks: diminuendo as a word
	{+0.26626, 0.06206, 0, 0},              // words: written tempo in numbers
	{+0.05805, 0.07929, 0, 0},              // words: written tempo in words
	{+0.09797, 0.03678, 0, 0},              // words: a new number
	{-0.03805, 0.03106, 0, 0},              // words: before a new number, by 2 beats
	{+0.19197, 0.04535, 0, 0},              // words: before a new number, by 6 beats
	{+0.14091, 0.01906, 0, 0},              // words: ritardando
	{+0.05936, 0.01327, 0, 0},              // words: ritardando, how far
	{-0.01698, 0.01577, 0, 0},              // words: ritardando, its end
	{-0.02832, 0.02464, 0, 0},              // words: accelerando
	{-0.02339, 0.02883, 0, 0},              // words: accelerando, how far
	{+0.12830, 0.04246, 0, 0},              // words: after a tempo
	{-0.13358, 0.03718, 0, 0},              // words: after a word: dying away
	{+0.09350, 0.04983, 0, 0},              // words: at a word: dying away
	{+0.15678, 0.04604, 0, 0},              // words: after a word: calm
	{0, 0, 0, 0},                           // words: at a word: calm
	{-0.09797, 0.06376, 0, 0},              // words: after a word: stirred
	{+0.18972, 0.05389, 0, 0},              // words: at a word: stirred
	{0, 0, 0, 0},                           // words: after a word: free time
	{+0.22453, 0.19606, 0, 0},              // words: at a word: free time
}
