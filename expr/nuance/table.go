package nuance

import "swellbox/expr"

// Written by "make fit". Fitted by ridge regression, each piece counting the same, to 439 performances
// of 190 pieces: Vienna 4x22 (Goebl 1999), Batik-plays-Mozart (Hu and Widmer 2023), (n)ASAP (Foscarin et
// al. 2020, Peter et al. 2023). Terms that weigh less than a standard error weigh nothing. The mean
// correlation with the velocities of players of works left out is, for all notes and for the top line
// alone: none 0.470 and 0.465, lookahead 0.500 and 0.489, notes 0.510 and 0.498, score 0.586 and 0.563.

// table is what each term weighs, dB, and its standard error, by grade: none, lookahead, notes, score.
var table = [...]size{
	// top line
	{"is the highest that sounds", [Grades]fitted{{+1.3592, 0.2222}, {+2.1341, 0.1389}, {+2.0015, 0.1295}, {+0.8312, 0.1956}}},
	{"is the highest of its chord", [Grades]fitted{{}, {+0.6713, 0.0589}, {+0.6927, 0.0511}, {+0.6964, 0.0513}}},
	{"sounds alone", [Grades]fitted{{}, {-2.1361, 0.3344}, {-2.0997, 0.3277}, {-1.2063, 0.2248}}},
	{"under the highest, up to a fifth", [Grades]fitted{{-0.6377, 0.3278}, {}, {}, {-1.7170, 0.3015}}},
	{"share of what sounds that is higher", [Grades]fitted{{+0.4253, 0.3335}, {-2.2030, 0.2254}, {-2.0702, 0.2473}, {-1.3561, 0.1479}}},
	{"higher notes that sound", [Grades]fitted{{+0.5148, 0.0819}, {+0.5738, 0.0621}, {+0.5527, 0.0566}, {+0.3268, 0.0448}}},
	{"over the next, if highest", [Grades]fitted{{+0.4356, 0.0803}, {+0.1660, 0.0837}, {+0.1575, 0.0781}, {+0.2029, 0.0531}}},
	{"under the next, if not highest", [Grades]fitted{{}, {+0.4182, 0.0730}, {+0.4733, 0.0684}, {+0.4304, 0.0579}}},
	{"over the next, if inner", [Grades]fitted{{+0.5964, 0.0995}, {+0.7496, 0.1147}, {+0.7181, 0.1106}, {+0.6643, 0.0958}}},
	{"over the last note of the line", [Grades]fitted{{-0.7139, 0.0699}, {-0.5025, 0.0523}, {-0.4904, 0.0558}, {-0.4951, 0.0530}}},
	{"under the last note of the line, if not highest", [Grades]fitted{{+0.9747, 0.1493}, {+0.7274, 0.0940}, {+0.6522, 0.0928}, {+0.5730, 0.0851}}},
	{"under the highest of the last 0.25 s", [Grades]fitted{{+0.2533, 0.0530}, {+0.2100, 0.0479}, {+0.2175, 0.0478}, {+0.1885, 0.0390}}},
	{"under the highest of the last 1 s", [Grades]fitted{{+0.4282, 0.1050}, {+0.1667, 0.0846}, {+0.1376, 0.0809}, {}}},
	{"is the highest for 1 s", [Grades]fitted{{+0.3708, 0.0655}, {+0.1191, 0.0457}, {+0.0870, 0.0454}, {+0.0404, 0.0425}}},
	{"is the highest for 4 s", [Grades]fitted{{+0.5728, 0.1074}, {+0.5832, 0.1057}, {+0.5797, 0.1063}, {+0.5153, 0.0840}}},
	{"share of near notes of the last 12 s that led", [Grades]fitted{{+1.2061, 0.1721}, {+0.7397, 0.1577}, {+0.6395, 0.1603}, {+0.5105, 0.1184}}},
	{"share of near notes of the next 12 s that lead", [Grades]fitted{{}, {+0.2745, 0.0990}, {+0.5971, 0.1358}, {+0.5039, 0.1380}}},
	{"near notes of the last 4 s", [Grades]fitted{{-0.2036, 0.0506}, {-0.1733, 0.0461}, {-0.1567, 0.0480}, {-0.1261, 0.0428}}},
	// bass line
	{"is the lowest that sounds", [Grades]fitted{{+0.4116, 0.0671}, {+2.2575, 0.2879}, {+2.2001, 0.3039}, {+1.2724, 0.1788}}},
	{"size of its chord, if lowest", [Grades]fitted{{-0.2489, 0.1269}, {-0.7817, 0.1130}, {-0.7387, 0.1199}, {-0.4217, 0.0630}}},
	{"over the lowest that sounds", [Grades]fitted{{+0.2210, 0.0579}, {+0.1981, 0.0559}, {+0.2246, 0.0426}, {+0.1225, 0.0175}}},
	{"over the lowest of the last 0.25 s", [Grades]fitted{{-0.2418, 0.0503}, {-0.0836, 0.0346}, {-0.0784, 0.0351}, {-0.0949, 0.0351}}},
	{"over the lowest of the last 0.5 s", [Grades]fitted{{-0.2031, 0.0819}, {-0.2099, 0.0614}, {-0.2206, 0.0652}, {-0.1802, 0.0593}}},
	{"over the lowest of the last 4 s", [Grades]fitted{{+0.3959, 0.0898}, {+0.3700, 0.0838}, {+0.2479, 0.0691}, {+0.1563, 0.0689}}},
	{"over the lowest of the next 0.25 s", [Grades]fitted{{}, {-0.1435, 0.0354}, {-0.1208, 0.0333}, {-0.0894, 0.0411}}},
	{"over the lowest of the next 2 s", [Grades]fitted{{}, {+0.0639, 0.0502}, {-0.4046, 0.0754}, {-0.2868, 0.0570}}},
	{"over the lowest of the next 4 s", [Grades]fitted{{}, {+0.0639, 0.0502}, {+0.7631, 0.0725}, {+0.5790, 0.0637}}},
	{"is the lowest for 2 s", [Grades]fitted{{-0.0506, 0.0374}, {+0.5600, 0.0827}, {+0.3726, 0.0677}, {+0.3019, 0.0655}}},
	{"is the lowest of the next 0.5 s", [Grades]fitted{{+0.4116, 0.0671}, {+0.3944, 0.0885}, {+0.3384, 0.0869}, {+0.3061, 0.0865}}},
	{"is the lowest for 0.5 s on either side", [Grades]fitted{{-0.2779, 0.0677}, {-0.6801, 0.0780}, {-0.7024, 0.0731}, {-0.6769, 0.0740}}},
	{"is the lowest for 2 s on either side", [Grades]fitted{{-0.0506, 0.0374}, {-0.8840, 0.1500}, {-0.7861, 0.1020}, {-0.6703, 0.1036}}},
	{"over the middle of the last 0.5 s", [Grades]fitted{{+0.2604, 0.0581}, {+0.1970, 0.0525}, {+0.2334, 0.0496}, {+0.2161, 0.0460}}},
	// height
	{"height", [Grades]fitted{{-1.0350, 0.1925}, {-0.8019, 0.2210}, {}, {}}},
	{"height over 52", [Grades]fitted{{+1.1600, 0.1790}, {+1.2735, 0.1942}, {+1.2210, 0.1547}, {+0.7476, 0.1512}}},
	{"height over 64", [Grades]fitted{{+2.2804, 0.2980}, {+2.0437, 0.3122}, {+1.9471, 0.3408}, {+2.0726, 0.3157}}},
	{"height over 76", [Grades]fitted{{-2.1410, 0.2346}, {-1.6442, 0.2437}, {-1.3370, 0.2232}, {-1.3348, 0.1921}}},
	{"over the mean of the last 1 s", [Grades]fitted{{+0.8794, 0.1945}, {+0.4758, 0.1613}, {+0.4571, 0.1574}, {+0.3304, 0.1043}}},
	{"over the mean of the last 4 s", [Grades]fitted{{-0.8635, 0.2130}, {-0.8472, 0.1982}, {-0.7165, 0.2186}, {-0.5132, 0.1908}}},
	{"over the mean of the next 4 s", [Grades]fitted{{}, {-0.2159, 0.0930}, {-0.7383, 0.1725}, {-0.6262, 0.1079}}},
	{"over the mean of the next 16 s", [Grades]fitted{{}, {-0.2159, 0.0930}, {-0.8053, 0.1655}, {-0.5386, 0.1587}}},
	{"share of the last 1 s that is lower", [Grades]fitted{{-1.6353, 0.2729}, {-1.0112, 0.2724}, {-1.0076, 0.2532}, {-1.0814, 0.2308}}},
	{"share of the last 4 s that is lower", [Grades]fitted{{+3.1818, 0.5412}, {+2.8249, 0.4985}, {+2.8293, 0.4787}, {+2.6942, 0.4226}}},
	{"the line falls to it", [Grades]fitted{{-1.6544, 0.2186}, {-0.9626, 0.2644}, {-0.9234, 0.2648}, {-0.9002, 0.2230}}},
	{"the line falls from it", [Grades]fitted{{}, {-0.8995, 0.2273}, {-1.0728, 0.1973}, {-1.0854, 0.1636}}},
	{"the line leaps down to it", [Grades]fitted{{-0.8303, 0.1309}, {-0.2412, 0.2131}, {-0.2663, 0.1960}, {-0.3124, 0.1693}}},
	{"the line's rise over 8 s", [Grades]fitted{{}, {+0.6379, 0.2276}, {-0.3876, 0.1633}, {-0.3338, 0.1557}}},
	{"the line's rise over 16 s", [Grades]fitted{{}, {-0.6722, 0.2033}, {-0.5111, 0.1662}, {-0.3931, 0.1455}}},
	{"the line's height in the last 8 s", [Grades]fitted{{+0.2891, 0.2771}, {+0.3734, 0.3241}, {-0.5060, 0.2611}, {-0.4996, 0.1737}}},
	{"the line's height in the last 32 s", [Grades]fitted{{-0.4078, 0.2686}, {-0.7243, 0.2361}, {-0.7748, 0.2435}, {-0.4376, 0.2708}}},
	{"over the highest note after it", [Grades]fitted{{}, {+0.2988, 0.0730}, {+0.2926, 0.0528}, {+0.1715, 0.0570}}},
	// fullness
	{"notes that sound", [Grades]fitted{{+0.5400, 0.1900}, {-0.3263, 0.1734}, {-0.3852, 0.1930}, {-0.3583, 0.1508}}},
	{"notes of its chord", [Grades]fitted{{+0.8304, 0.0839}, {+0.3777, 0.0590}, {+0.2850, 0.0630}, {+0.1282, 0.0573}}},
	{"size of chords in the last 1 s", [Grades]fitted{{+0.9854, 0.3813}, {}, {}, {}}},
	{"size of chords in the last 4 s", [Grades]fitted{{+0.7123, 0.2600}, {+0.9598, 0.2667}, {+0.9616, 0.2827}, {+0.6797, 0.2990}}},
	{"size of chords in the next 1 s", [Grades]fitted{{}, {+0.2605, 0.0670}, {+1.0127, 0.1359}, {+1.0031, 0.1384}}},
	{"size of chords in the next 16 s", [Grades]fitted{{}, {+0.2711, 0.0730}, {-0.9709, 0.2673}, {-0.8737, 0.2305}}},
	{"notes that sound in the next 16 s", [Grades]fitted{{}, {+0.4001, 0.1874}, {+1.6119, 0.2306}, {+1.2979, 0.2003}}},
	{"range of the last 2 s", [Grades]fitted{{+0.3136, 0.0479}, {+0.2294, 0.0452}, {+0.2097, 0.0500}, {+0.1442, 0.0670}}},
	{"range of the next 2 s", [Grades]fitted{{}, {+0.5537, 0.0719}, {+0.7599, 0.0701}, {+0.5368, 0.0634}}},
	// density
	{"notes in the last 1 s", [Grades]fitted{{-0.3919, 0.2586}, {+0.6842, 0.1418}, {+0.7631, 0.1367}, {+0.6519, 0.1465}}},
	{"notes in the last 16 s", [Grades]fitted{{+1.2450, 0.5274}, {+0.9370, 0.5296}, {+0.6680, 0.2530}, {}}},
	{"onsets in the last 1 s", [Grades]fitted{{+1.1625, 0.3365}, {}, {}, {}}},
	{"onsets in the last 4 s", [Grades]fitted{{+1.4682, 0.2663}, {+1.1997, 0.2121}, {+1.1855, 0.2193}, {+0.8796, 0.2458}}},
	{"onsets in the last 16 s", [Grades]fitted{{-1.0622, 0.6687}, {-0.8872, 0.6515}, {}, {}}},
	{"onsets in the last 32 s", [Grades]fitted{{+1.0311, 0.2080}, {+0.9979, 0.2042}, {+0.2923, 0.2854}, {+0.3848, 0.1151}}},
	{"onsets in the next 1 s", [Grades]fitted{{}, {}, {+0.3509, 0.1407}, {+0.2315, 0.1157}}},
	{"onsets in the next 32 s", [Grades]fitted{{}, {+1.9918, 1.5590}, {-0.8954, 0.3526}, {-0.9090, 0.2161}}},
	{"time since the onset before", [Grades]fitted{{-0.3335, 0.1605}, {-0.4378, 0.1326}, {-0.4526, 0.1263}, {-0.4681, 0.0958}}},
	{"time since the line's onset before", [Grades]fitted{{-0.2181, 0.0256}, {-0.1391, 0.0512}, {-0.0883, 0.0528}, {}}},
	// note length
	{"its length, if highest", [Grades]fitted{{}, {+0.4938, 0.0235}, {+0.3916, 0.0229}, {+0.3697, 0.0257}}},
	{"lengths in the last 3 s", [Grades]fitted{{}, {-0.2543, 0.1676}, {-0.2025, 0.1594}, {-0.1625, 0.1223}}},
	// bar weight
	{"is on the first beat", [Grades]fitted{{}, {}, {+0.5627, 0.0826}, {+0.6082, 0.0565}}},
	{"is on a strong beat", [Grades]fitted{{}, {}, {+0.5019, 0.1686}, {+0.7409, 0.1439}}},
	{"is on another beat", [Grades]fitted{{}, {}, {+0.3713, 0.0880}, {+0.5007, 0.0948}}},
	// endings
	{"rest before it", [Grades]fitted{{}, {+1.0388, 0.7505}, {+1.2415, 0.7129}, {+0.8248, 0.5810}}},
	{"rest after it", [Grades]fitted{{}, {}, {-1.2583, 1.1402}, {-1.4202, 0.8081}}},
	{"nearness of the beginning", [Grades]fitted{{+4.3044, 1.1366}, {+3.6455, 1.1125}, {+3.8466, 1.1654}, {+1.5352, 0.7931}}},
	{"nearness of the end", [Grades]fitted{{}, {}, {-1.9673, 1.1758}, {-2.1783, 0.7398}}},
	{"place in the piece", [Grades]fitted{{}, {}, {+0.8851, 0.2626}, {+0.7014, 0.2382}}},
	// novelty
	{"pitch class in the last 1 s", [Grades]fitted{{+0.1526, 0.0324}, {+0.0631, 0.0173}, {+0.0766, 0.0182}, {+0.0462, 0.0198}}},
	{"pitch class in the last 16 s", [Grades]fitted{{-0.1392, 0.0247}, {-0.1436, 0.0195}, {-0.1224, 0.0159}, {-0.0928, 0.0185}}},
	{"pitch class in the next 1 s", [Grades]fitted{{}, {+0.2312, 0.0239}, {+0.2198, 0.0228}, {+0.1242, 0.0240}}},
	{"struck again in the last 1 s", [Grades]fitted{{-0.8516, 0.0926}, {-0.6250, 0.0797}, {-0.5886, 0.0788}, {-0.5232, 0.0807}}},
	{"struck again in the next 1 s", [Grades]fitted{{}, {-0.4538, 0.0328}, {-0.5944, 0.0464}, {-0.4487, 0.0426}}},
	{"struck again in the next 4 s", [Grades]fitted{{}, {-0.4538, 0.0328}, {-0.2915, 0.0243}, {-0.2535, 0.0286}}},
	{"new pitch classes of its chord", [Grades]fitted{{+0.4480, 0.1570}, {}, {}, {}}},
	{"change of the harmony", [Grades]fitted{{}, {+0.7485, 0.1693}, {+0.9513, 0.2245}, {+0.5405, 0.1807}}},
	// two hands
	{"is the right hand's highest", [Grades]fitted{{}, {}, {}, {+1.2483, 0.1515}}},
	{"is the left hand's highest", [Grades]fitted{{}, {}, {}, {+0.9619, 0.1662}}},
	{"under its hand's highest", [Grades]fitted{{}, {}, {}, {+1.4818, 0.1280}}},
	// written level
	{"level over mp", [Grades]fitted{{}, {}, {}, {+1.4861, 0.2629}}},
	{"level over f", [Grades]fitted{{}, {}, {}, {-1.2478, 0.2564}}},
	{"level on its own staff", [Grades]fitted{{}, {}, {}, {+0.2290, 0.0411}}},
	{"a dynamic holds", [Grades]fitted{{}, {}, {}, {+3.4321, 0.6327}}},
	{"step to the level, for 2 s", [Grades]fitted{{}, {}, {}, {+0.6040, 0.0972}}},
	{"step to the level, for 30 s", [Grades]fitted{{}, {}, {}, {-0.2721, 0.0619}}},
	{"step that comes, for 20 s", [Grades]fitted{{}, {}, {}, {+0.4827, 0.0715}}},
	{"level with hairpins", [Grades]fitted{{}, {}, {}, {+1.1679, 0.1703}}},
	{"the same in the last 10 s", [Grades]fitted{{}, {}, {}, {-0.3476, 0.0870}}},
	{"the same in the last 30 s", [Grades]fitted{{}, {}, {}, {-0.3824, 0.0993}}},
	{"is under a crescendo", [Grades]fitted{{}, {}, {}, {+1.2035, 0.2639}}},
	{"level with hairpins, if highest", [Grades]fitted{{}, {}, {}, {-0.3477, 0.0530}}},
	{"the same, if lowest", [Grades]fitted{{}, {}, {}, {-0.4395, 0.0832}}},
	{"the same, by height", [Grades]fitted{{}, {}, {}, {-0.1640, 0.0357}}},
	// written signs
	{"has a sforzato", [Grades]fitted{{}, {}, {}, {+5.0298, 0.3041}}},
	{"has an accent", [Grades]fitted{{}, {}, {}, {+2.9937, 0.2515}}},
	{"has a strong accent", [Grades]fitted{{}, {}, {}, {+3.7931, 0.3875}}},
	{"has a wedge", [Grades]fitted{{}, {}, {}, {+1.6813, 0.3949}}},
}

// usual is what each habit adds in the mean of a piece, dB, where the piece is not known.
var usual = [...]expr.Touch{
	{+2.427, +0.677, +1.703, +3.124, +10.126, +0.000, +0.000, +0.078, -0.395, +0.000, +0.000, +0.000}, // none
	{+1.409, +1.062, +2.662, +3.244, +9.917, +0.014, +0.000, +0.076, -1.119, +0.000, +0.000, +0.000},  // lookahead
}
