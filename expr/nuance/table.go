package nuance

import "swellbox/expr"

// Written by "make fit". Fitted by ridge regression, each piece counting the same, to 439 performances
// of 190 pieces: Vienna 4x22 (Goebl 1999), Batik-plays-Mozart (Hu and Widmer 2023), (n)ASAP (Foscarin et
// al. 2020, Peter et al. 2023). Terms that weigh less than a standard error weigh nothing. The mean
// correlation with the velocities of players of works left out is, for all notes and for the top line
// alone: none 0.482 and 0.473, lookahead 0.502 and 0.489, notes 0.513 and 0.500, score 0.587 and 0.564.

// table is what each term weighs, dB, and its standard error, by grade: none, lookahead, notes, score.
var table = [...]size{
	// top line
	{"is the highest that sounds", [Grades]fitted{{+0.8480, 0.2733}, {+1.6762, 0.1866}, {+1.5696, 0.1601}, {+0.4458, 0.2122}}},
	{"is the highest of its chord", [Grades]fitted{{}, {+0.6676, 0.0721}, {+0.6193, 0.0643}, {+0.5984, 0.0549}}},
	{"sounds alone", [Grades]fitted{{}, {-2.0743, 0.3540}, {-2.0623, 0.3090}, {-1.3081, 0.2230}}},
	{"under the highest, up to a fifth", [Grades]fitted{{-0.5365, 0.3675}, {}, {}, {-1.6369, 0.2930}}},
	{"share of what sounds that is higher", [Grades]fitted{{+0.4178, 0.3804}, {-2.2329, 0.2050}, {-2.0620, 0.2011}, {-1.4473, 0.1342}}},
	{"higher notes that sound", [Grades]fitted{{+0.6177, 0.0859}, {+0.6477, 0.0715}, {+0.6206, 0.0642}, {+0.3680, 0.0440}}},
	{"over the next, if highest", [Grades]fitted{{+0.4544, 0.0855}, {+0.1120, 0.0770}, {+0.0960, 0.0778}, {+0.1605, 0.0588}}},
	{"under the next, if not highest", [Grades]fitted{{+0.1845, 0.0901}, {+0.4806, 0.0829}, {+0.5230, 0.0725}, {+0.4542, 0.0610}}},
	{"over the next, if inner", [Grades]fitted{{+0.6019, 0.0947}, {+0.7276, 0.1187}, {+0.6744, 0.1065}, {+0.6480, 0.0956}}},
	{"over the last note of the line", [Grades]fitted{{-0.7644, 0.0662}, {-0.5694, 0.0483}, {-0.5107, 0.0508}, {-0.4831, 0.0500}}},
	{"under the last note of the line, if not highest", [Grades]fitted{{+1.0685, 0.1463}, {+0.6485, 0.1018}, {+0.5562, 0.0782}, {+0.4973, 0.0807}}},
	{"under the highest of the last 0.25 s", [Grades]fitted{{+0.1614, 0.0687}, {+0.1207, 0.0618}, {+0.1273, 0.0614}, {+0.1337, 0.0462}}},
	{"under the highest of the last 1 s", [Grades]fitted{{+0.4063, 0.1175}, {+0.2248, 0.0986}, {+0.1269, 0.0836}, {}}},
	{"is the highest for 1 s", [Grades]fitted{{+0.3994, 0.0667}, {+0.1428, 0.0491}, {+0.0859, 0.0409}, {+0.0559, 0.0426}}},
	{"is the highest for 4 s", [Grades]fitted{{+0.5112, 0.1065}, {+0.5478, 0.1098}, {+0.5263, 0.1047}, {+0.4840, 0.0830}}},
	{"share of near notes of the last 12 s that led", [Grades]fitted{{+1.1952, 0.1963}, {+0.7620, 0.1802}, {+0.6516, 0.1706}, {+0.5291, 0.1210}}},
	{"share of near notes of the next 12 s that lead", [Grades]fitted{{}, {+0.1747, 0.1943}, {+0.5663, 0.1421}, {+0.4835, 0.1448}}},
	{"near notes of the last 4 s", [Grades]fitted{{-0.1886, 0.0537}, {-0.1727, 0.0531}, {-0.1435, 0.0485}, {-0.1138, 0.0434}}},
	{"is the highest, by the onsets of the last 4 s", [Grades]fitted{{+0.2197, 0.1229}, {}, {}, {}}},
	{"a higher note was struck lately", [Grades]fitted{{-0.2714, 0.1615}, {-0.5497, 0.1372}, {-0.5405, 0.1219}, {-0.5280, 0.1201}}},
	// bass line
	{"is the lowest that sounds", [Grades]fitted{{+0.7020, 0.1223}, {+2.8359, 0.4229}, {+2.7428, 0.4174}, {+1.3340, 0.1784}}},
	{"size of its chord, if lowest", [Grades]fitted{{-0.2788, 0.1105}, {-0.7451, 0.0907}, {-0.7225, 0.1092}, {-0.4238, 0.0554}}},
	{"over the lowest that sounds", [Grades]fitted{{+0.2088, 0.0566}, {+0.2191, 0.0444}, {+0.2364, 0.0392}, {+0.1283, 0.0231}}},
	{"over the lowest of the last 0.25 s", [Grades]fitted{{-0.1491, 0.0561}, {}, {}, {-0.0595, 0.0371}}},
	{"over the lowest of the last 0.5 s", [Grades]fitted{{-0.1990, 0.0777}, {-0.3214, 0.0705}, {-0.2623, 0.0634}, {-0.2028, 0.0571}}},
	{"over the lowest of the last 4 s", [Grades]fitted{{+0.3924, 0.0961}, {+0.3807, 0.0910}, {+0.2314, 0.0697}, {+0.1535, 0.0678}}},
	{"over the lowest of the next 0.25 s", [Grades]fitted{{}, {-0.1469, 0.0541}, {-0.1207, 0.0440}, {-0.0658, 0.0418}}},
	{"over the lowest of the next 2 s", [Grades]fitted{{}, {+0.1176, 0.0258}, {-0.3963, 0.0721}, {-0.2862, 0.0531}}},
	{"over the lowest of the next 4 s", [Grades]fitted{{}, {+0.1176, 0.0258}, {+0.7493, 0.0740}, {+0.5738, 0.0622}}},
	{"is the lowest for 2 s", [Grades]fitted{{}, {+0.7938, 0.0990}, {+0.4098, 0.0595}, {+0.3337, 0.0600}}},
	{"is the lowest of the next 0.5 s", [Grades]fitted{{+0.7020, 0.1223}, {+0.4632, 0.0958}, {+0.3415, 0.0929}, {+0.3229, 0.0852}}},
	{"is the lowest for 0.5 s on either side", [Grades]fitted{{-0.2238, 0.0659}, {-0.6348, 0.0797}, {-0.6840, 0.0666}, {-0.6524, 0.0738}}},
	{"is the lowest for 2 s on either side", [Grades]fitted{{}, {-0.9837, 0.1726}, {-0.7499, 0.1106}, {-0.6756, 0.1065}}},
	{"over the middle of the last 0.5 s", [Grades]fitted{{+0.3221, 0.0556}, {+0.3534, 0.0464}, {+0.3320, 0.0491}, {+0.2752, 0.0476}}},
	{"is the lowest, by the onsets of the last 4 s", [Grades]fitted{{-0.1876, 0.0839}, {-0.2345, 0.0919}, {-0.2287, 0.0861}, {}}},
	{"is the lowest, by height", [Grades]fitted{{+0.3176, 0.0604}, {+0.2373, 0.0676}, {+0.1690, 0.0707}, {+0.1386, 0.0506}}},
	// height
	{"height", [Grades]fitted{{}, {}, {+0.7078, 0.2813}, {}}},
	{"height over 52", [Grades]fitted{{+1.5036, 0.2445}, {+1.4387, 0.2390}, {+1.4948, 0.2304}, {+1.1546, 0.1681}}},
	{"height over 64", [Grades]fitted{{+2.0181, 0.2430}, {+2.0565, 0.3014}, {+2.0639, 0.3263}, {+2.1150, 0.3128}}},
	{"height over 76", [Grades]fitted{{-1.4883, 0.1919}, {-1.3066, 0.2192}, {-1.0788, 0.2038}, {-1.1817, 0.1954}}},
	{"over the mean of the last 1 s", [Grades]fitted{{+0.6460, 0.1350}, {+0.5016, 0.1540}, {+0.4786, 0.1404}, {+0.3282, 0.1018}}},
	{"over the mean of the last 4 s", [Grades]fitted{{-0.7340, 0.1078}, {-0.6693, 0.1825}, {-0.6544, 0.2089}, {-0.3898, 0.1893}}},
	{"over the mean of the next 4 s", [Grades]fitted{{}, {-0.1772, 0.0524}, {-0.7068, 0.1648}, {-0.5931, 0.1034}}},
	{"over the mean of the next 16 s", [Grades]fitted{{}, {-0.1772, 0.0524}, {-0.6940, 0.2259}, {-0.3487, 0.1255}}},
	{"share of the last 1 s that is lower", [Grades]fitted{{-1.0078, 0.2391}, {-0.7017, 0.2468}, {-0.7921, 0.2722}, {-0.9487, 0.2391}}},
	{"share of the last 4 s that is lower", [Grades]fitted{{+2.4555, 0.5018}, {+2.4363, 0.4937}, {+2.7399, 0.5349}, {+2.5832, 0.4335}}},
	{"the line falls to it", [Grades]fitted{{-1.0826, 0.1659}, {-0.4587, 0.2696}, {-0.5527, 0.2710}, {-0.5967, 0.2167}}},
	{"the line falls from it", [Grades]fitted{{}, {-0.8343, 0.2372}, {-1.0980, 0.2175}, {-1.0988, 0.1758}}},
	{"the line leaps down to it", [Grades]fitted{{-0.7492, 0.1143}, {-0.3070, 0.2103}, {-0.3140, 0.2025}, {-0.3495, 0.1761}}},
	{"the line's rise over 8 s", [Grades]fitted{{}, {+0.6902, 0.1334}, {-0.3476, 0.1830}, {-0.2568, 0.1657}}},
	{"the line's rise over 16 s", [Grades]fitted{{}, {-0.6185, 0.1385}, {-0.4704, 0.1906}, {-0.3217, 0.1406}}},
	{"the line's height in the last 8 s", [Grades]fitted{{}, {+0.4169, 0.2688}, {-0.4356, 0.2700}, {-0.3255, 0.2084}}},
	{"the line's height in the last 32 s", [Grades]fitted{{-0.2824, 0.2095}, {-0.6549, 0.2531}, {-0.7885, 0.2061}, {-0.4001, 0.2474}}},
	{"over the highest note after it", [Grades]fitted{{}, {+0.4238, 0.0699}, {+0.3435, 0.0509}, {+0.2054, 0.0549}}},
	{"height, by the onsets of the last 4 s", [Grades]fitted{{-0.5794, 0.0865}, {-0.5254, 0.1106}, {-0.5059, 0.1280}, {-0.3030, 0.0754}}},
	// fullness
	{"notes that sound", [Grades]fitted{{+1.1980, 0.1834}, {+0.9550, 0.3030}, {+0.7303, 0.2660}, {+0.3839, 0.2231}}},
	{"notes of its chord", [Grades]fitted{{}, {-0.7252, 0.1514}, {-0.7855, 0.1490}, {-0.5366, 0.1499}}},
	{"size of chords in the last 1 s", [Grades]fitted{{+0.8561, 0.3259}, {}, {}, {+0.2131, 0.1868}}},
	{"size of chords in the last 4 s", [Grades]fitted{{+0.8342, 0.2862}, {+1.0071, 0.2424}, {+0.9315, 0.2652}, {+0.5750, 0.3342}}},
	{"size of chords in the next 1 s", [Grades]fitted{{}, {+0.2044, 0.0634}, {+1.0192, 0.1204}, {+0.9837, 0.1224}}},
	{"size of chords in the next 16 s", [Grades]fitted{{}, {+0.2044, 0.0634}, {-0.8671, 0.2560}, {-0.8241, 0.2428}}},
	{"notes that sound in the next 16 s", [Grades]fitted{{}, {}, {+1.5469, 0.2499}, {+1.2305, 0.2151}}},
	{"range of the last 2 s", [Grades]fitted{{+0.2554, 0.0377}, {+0.2383, 0.0472}, {+0.1826, 0.0466}, {+0.1166, 0.0644}}},
	{"range of the next 2 s", [Grades]fitted{{}, {+0.2260, 0.0574}, {+0.7313, 0.0771}, {+0.5141, 0.0615}}},
	{"notes held from before", [Grades]fitted{{-0.6865, 0.0706}, {-1.0312, 0.1355}, {-1.0563, 0.1188}, {-0.7201, 0.1274}}},
	// density
	{"notes in the last 1 s", [Grades]fitted{{-0.3640, 0.2356}, {+0.6751, 0.1080}, {+0.7272, 0.1133}, {+0.4959, 0.1250}}},
	{"notes in the last 16 s", [Grades]fitted{{+0.7968, 0.1880}, {+0.7580, 0.2129}, {+0.7628, 0.2271}, {}}},
	{"onsets in the last 1 s", [Grades]fitted{{+0.9168, 0.2900}, {}, {}, {}}},
	{"onsets in the last 4 s", [Grades]fitted{{+0.9558, 0.2081}, {+1.4136, 0.1992}, {+1.5522, 0.2110}, {+1.1673, 0.2329}}},
	{"onsets in the next 1 s", [Grades]fitted{{}, {}, {+0.3613, 0.1360}, {+0.2562, 0.1122}}},
	{"onsets in the next 32 s", [Grades]fitted{{}, {}, {-0.7861, 0.3524}, {-0.8224, 0.2205}}},
	{"time since the onset before", [Grades]fitted{{-0.2624, 0.1179}, {-0.2107, 0.0833}, {-0.2753, 0.1059}, {-0.3821, 0.1158}}},
	// note length
	{"its length, if highest", [Grades]fitted{{}, {+0.4094, 0.0461}, {+0.3644, 0.0365}, {+0.3665, 0.0280}}},
	{"length of the line's note before", [Grades]fitted{{-0.1418, 0.0222}, {-0.2625, 0.0271}, {-0.2000, 0.0331}, {-0.1417, 0.0275}}},
	// bar weight
	{"is on the first beat", [Grades]fitted{{}, {}, {+0.4686, 0.0867}, {+0.5125, 0.0597}}},
	{"is on a strong beat", [Grades]fitted{{}, {}, {+0.4700, 0.1630}, {+0.6909, 0.1474}}},
	{"is on another beat", [Grades]fitted{{}, {}, {+0.3454, 0.0964}, {+0.4670, 0.0975}}},
	// endings
	{"rest before it", [Grades]fitted{{}, {}, {+0.8714, 0.6612}, {+0.6638, 0.5768}}},
	{"rest after it", [Grades]fitted{{}, {}, {-1.2330, 1.1272}, {-1.3776, 0.8012}}},
	{"nearness of the beginning", [Grades]fitted{{+5.9178, 1.0511}, {+6.3437, 1.1831}, {+6.4122, 1.3229}, {+3.2214, 0.9631}}},
	{"nearness of the end", [Grades]fitted{{}, {}, {-1.3601, 1.2190}, {-1.6989, 0.7471}}},
	{"time since the beginning", [Grades]fitted{{+0.4551, 0.0719}, {+0.5056, 0.0847}, {+0.4833, 0.1222}, {+0.4214, 0.0840}}},
	// novelty
	{"pitch class in the last 1 s", [Grades]fitted{{+0.2015, 0.0256}, {+0.1220, 0.0202}, {+0.1366, 0.0237}, {+0.0809, 0.0265}}},
	{"pitch class in the last 16 s", [Grades]fitted{{-0.1120, 0.0181}, {-0.1509, 0.0188}, {-0.1177, 0.0168}, {-0.0911, 0.0184}}},
	{"pitch class in the next 1 s", [Grades]fitted{{}, {+0.3327, 0.0304}, {+0.2282, 0.0227}, {+0.1317, 0.0237}}},
	{"struck again in the last 1 s", [Grades]fitted{{-0.6523, 0.0658}, {-0.5886, 0.0616}, {-0.5676, 0.0666}, {-0.5117, 0.0759}}},
	{"struck again in the next 1 s", [Grades]fitted{{}, {-0.4662, 0.0476}, {-0.5883, 0.0457}, {-0.4479, 0.0431}}},
	{"struck again in the next 4 s", [Grades]fitted{{}, {-0.4662, 0.0476}, {-0.2808, 0.0258}, {-0.2448, 0.0294}}},
	{"new pitch classes of its chord", [Grades]fitted{{+0.2538, 0.1389}, {}, {}, {}}},
	{"change of the harmony", [Grades]fitted{{}, {+0.5648, 0.1333}, {+0.8755, 0.2258}, {+0.4921, 0.1795}}},
	{"share of its chord in the last one", [Grades]fitted{{-0.4727, 0.0865}, {-0.4893, 0.0916}, {-0.4419, 0.0976}, {-0.2379, 0.0922}}},
	{"share of its chord in the last but one", [Grades]fitted{{-0.3229, 0.0869}, {-0.2147, 0.0990}, {-0.2198, 0.1136}, {-0.1462, 0.0998}}},
	{"pitch classes of the last 4 s", [Grades]fitted{{+0.0497, 0.0253}, {+0.0567, 0.0286}, {+0.0577, 0.0280}, {+0.0529, 0.0215}}},
	// two hands
	{"is the right hand's highest", [Grades]fitted{{}, {}, {}, {+1.1898, 0.1495}}},
	{"is the left hand's highest", [Grades]fitted{{}, {}, {}, {+0.9468, 0.1717}}},
	{"under its hand's highest", [Grades]fitted{{}, {}, {}, {+1.4501, 0.1359}}},
	// written level
	{"level over mp", [Grades]fitted{{}, {}, {}, {+1.4510, 0.2563}}},
	{"level over f", [Grades]fitted{{}, {}, {}, {-1.1641, 0.2673}}},
	{"level on its own staff", [Grades]fitted{{}, {}, {}, {+0.2293, 0.0439}}},
	{"a dynamic holds", [Grades]fitted{{}, {}, {}, {+3.4432, 0.6293}}},
	{"step to the level, for 2 s", [Grades]fitted{{}, {}, {}, {+0.6071, 0.0983}}},
	{"step to the level, for 30 s", [Grades]fitted{{}, {}, {}, {-0.2730, 0.0596}}},
	{"step that comes, for 20 s", [Grades]fitted{{}, {}, {}, {+0.4758, 0.0733}}},
	{"level with hairpins", [Grades]fitted{{}, {}, {}, {+1.1644, 0.1673}}},
	{"the same in the last 10 s", [Grades]fitted{{}, {}, {}, {-0.3420, 0.0874}}},
	{"the same in the last 30 s", [Grades]fitted{{}, {}, {}, {-0.3678, 0.1060}}},
	{"is under a crescendo", [Grades]fitted{{}, {}, {}, {+1.1684, 0.2542}}},
	{"level with hairpins, if highest", [Grades]fitted{{}, {}, {}, {-0.3420, 0.0553}}},
	{"the same, if lowest", [Grades]fitted{{}, {}, {}, {-0.4252, 0.0819}}},
	{"the same, by height", [Grades]fitted{{}, {}, {}, {-0.1524, 0.0319}}},
	// written signs
	{"has a sforzato", [Grades]fitted{{}, {}, {}, {+4.9864, 0.2947}}},
	{"has an accent", [Grades]fitted{{}, {}, {}, {+2.9583, 0.2549}}},
	{"has a strong accent", [Grades]fitted{{}, {}, {}, {+3.7138, 0.4011}}},
	{"has a wedge", [Grades]fitted{{}, {}, {}, {+1.6527, 0.3821}}},
}

// usual is what each habit adds in the mean of a piece, dB, where the piece is not known.
var usual = [...]expr.Touch{
	{+2.506, +0.699, +2.099, +2.837, +6.553, +0.238, +0.000, +2.751, -0.402, +0.000, +0.000, +0.000}, // none
	{+1.107, +1.096, +2.980, +2.049, +8.589, +0.074, +0.000, +3.052, -1.218, +0.000, +0.000, +0.000}, // lookahead
}
