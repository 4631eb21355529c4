package pedalling

// table is what each term adds to the share of players whose foot is down, over a half, with its
// standard error: just after the onset and after that, by what has sounded, and the same by a score. Last comes what it
// adds to the order of the moments of a piece, fitted to where in a piece the players' feet are down, about
// the mean of the piece.
//
// Written by "make fit". Fitted by ridge regression to 433 performances of 187 pieces: Vienna 4x22 (Goebl
// 1999), Batik-plays-Mozart (Hu and Widmer 2023), (n)ASAP (Foscarin et al. 2020, Peter et al. 2023).
// Terms that weigh less than 0.6 standard errors are left out. On works left out what is decided agrees
// with players by a kappa of 0.106 by what has sounded and 0.168 by a score; where there are several
// players, 0.096 and 0.161, theirs among themselves being 0.250. The foot is down 0.62 and 0.55 of the time, theirs 0.58.
var table = [numTerms]weights{
	{[Grades][2]fitted{{{-0.0226, 0.0183}, {}}, {{-0.0446, 0.0163}, {-0.0395, 0.0153}}}, [2]fitted{{}, {}}},                                              // always
	{[Grades][2]fitted{{{-0.0097, 0.0057}, {-0.0118, 0.0062}}, {{-0.0035, 0.0065}, {-0.0089, 0.0082}}}, [2]fitted{{}, {}}},                               // notes, log
	{[Grades][2]fitted{{{+0.0429, 0.0062}, {+0.0523, 0.0073}}, {{+0.0326, 0.0052}, {+0.0321, 0.0070}}}, [2]fitted{{+0.0905, 0.0128}, {+0.1001, 0.0130}}}, // sounding, log
	{[Grades][2]fitted{{{+0.0314, 0.0083}, {+0.0148, 0.0076}}, {{+0.0170, 0.0091}, {+0.0075, 0.0081}}}, [2]fitted{{+0.0519, 0.0209}, {+0.0601, 0.0164}}}, // something sounds on
	{[Grades][2]fitted{{{-0.1243, 0.0779}, {+0.0473, 0.0808}}, {{}, {}}}, [2]fitted{{-0.1071, 0.1115}, {}}},                                              // rest before it
	{[Grades][2]fitted{{{}, {}}, {{-0.0142, 0.0095}, {-0.0222, 0.0058}}}, [2]fitted{{+0.0283, 0.0088}, {-0.0083, 0.0061}}},                               // lowest key
	{[Grades][2]fitted{{{+0.0068, 0.0062}, {+0.0019, 0.0040}}, {{+0.0193, 0.0048}, {+0.0199, 0.0071}}}, [2]fitted{{}, {+0.0055, 0.0065}}},                // highest key
	{[Grades][2]fitted{{{-0.0154, 0.0049}, {}}, {{-0.0265, 0.0070}, {-0.0078, 0.0069}}}, [2]fitted{{-0.0294, 0.0113}, {+0.0129, 0.0063}}},                // width
	{[Grades][2]fitted{{{+0.0201, 0.0168}, {}}, {{+0.0165, 0.0048}, {}}}, [2]fitted{{+0.0280, 0.0204}, {+0.0454, 0.0433}}},                               // a step
	{[Grades][2]fitted{{{+0.0283, 0.0113}, {+0.0335, 0.0133}}, {{+0.0225, 0.0126}, {+0.0235, 0.0128}}}, [2]fitted{{+0.0635, 0.0239}, {+0.0862, 0.0242}}}, // a leap
	{[Grades][2]fitted{{{}, {+0.0197, 0.0211}}, {{}, {}}}, [2]fitted{{+0.0398, 0.0354}, {+0.0404, 0.0300}}},                                              // the same again
	{[Grades][2]fitted{{{+0.0819, 0.0239}, {+0.0416, 0.0258}}, {{+0.0435, 0.0196}, {+0.0381, 0.0203}}}, [2]fitted{{+0.0150, 0.0183}, {+0.0131, 0.0242}}}, // new pitch classes
	{[Grades][2]fitted{{{-0.0156, 0.0128}, {-0.0266, 0.0181}}, {{-0.0077, 0.0117}, {-0.0148, 0.0118}}}, [2]fitted{{-0.0142, 0.0163}, {-0.0193, 0.0197}}}, // pitch classes new for 0.4 s
	{[Grades][2]fitted{{{-0.0219, 0.0071}, {}}, {{-0.0243, 0.0069}, {}}}, [2]fitted{{-0.0668, 0.0123}, {}}},                                              // clashes, log
	{[Grades][2]fitted{{{-0.0130, 0.0077}, {}}, {{}, {}}}, [2]fitted{{-0.0173, 0.0103}, {-0.0117, 0.0117}}},                                              // how low they are
	{[Grades][2]fitted{{{-0.0359, 0.0083}, {}}, {{-0.0261, 0.0084}, {+0.0117, 0.0085}}}, [2]fitted{{-0.0626, 0.0313}, {+0.0191, 0.0112}}},                // is the bass
	{[Grades][2]fitted{{{}, {}}, {{-0.0147, 0.0199}, {-0.0123, 0.0191}}}, [2]fitted{{}, {}}},                                                             // a new bass
	{[Grades][2]fitted{{{-0.0121, 0.0117}, {-0.0367, 0.0137}}, {{-0.0171, 0.0100}, {-0.0344, 0.0073}}}, [2]fitted{{-0.0374, 0.0191}, {-0.0604, 0.0236}}}, // a step of the bass
	{[Grades][2]fitted{{{+0.0269, 0.0154}, {+0.0351, 0.0184}}, {{+0.0361, 0.0080}, {+0.0325, 0.0141}}}, [2]fitted{{+0.0728, 0.0150}, {+0.0770, 0.0168}}}, // time since the onset before, log
	{[Grades][2]fitted{{{+0.0062, 0.0069}, {}}, {{+0.0080, 0.0063}, {}}}, [2]fitted{{+0.0072, 0.0063}, {-0.0090, 0.0079}}},                               // time since the bass
	{[Grades][2]fitted{{{-0.0186, 0.0075}, {}}, {{-0.0149, 0.0060}, {}}}, [2]fitted{{-0.0376, 0.0168}, {}}},                                              // leap of the lowest
	{[Grades][2]fitted{{{}, {}}, {{-0.0468, 0.0134}, {-0.0289, 0.0124}}}, [2]fitted{{-0.1184, 0.0288}, {}}},                                              // score: on the down-beat
	{[Grades][2]fitted{{{}, {}}, {{-0.0083, 0.0099}, {-0.0476, 0.0163}}}, [2]fitted{{-0.0264, 0.0147}, {-0.0199, 0.0203}}},                               // score: on a beat
	{[Grades][2]fitted{{{-0.0851, 0.0591}, {}}, {{-0.1300, 0.0328}, {}}}, [2]fitted{{-0.1928, 0.0828}, {}}},                                              // after a gap
	{[Grades][2]fitted{{{-0.0077, 0.0060}, {-0.0141, 0.0048}}, {{-0.0130, 0.0105}, {-0.0138, 0.0100}}}, [2]fitted{{-0.0181, 0.0095}, {-0.0300, 0.0176}}}, // a new bass, by the time before it
	{[Grades][2]fitted{{{+0.0594, 0.0142}, {+0.0295, 0.0142}}, {{+0.0354, 0.0119}, {+0.0229, 0.0106}}}, [2]fitted{{+0.0456, 0.0111}, {+0.0202, 0.0111}}}, // new pitch classes, by the time before
	{[Grades][2]fitted{{{}, {}}, {{-0.0055, 0.0032}, {+0.0274, 0.0076}}}, [2]fitted{{-0.0184, 0.0074}, {+0.0696, 0.0114}}},                               // score: time to the next onset, log
	{[Grades][2]fitted{{{}, {}}, {{-0.0061, 0.0110}, {-0.0249, 0.0157}}}, [2]fitted{{-0.0295, 0.0160}, {-0.0723, 0.0204}}},                               // score: longest re the next onset, log
	{[Grades][2]fitted{{{}, {}}, {{}, {}}}, [2]fitted{{+0.0262, 0.0190}, {+0.0250, 0.0246}}},                                                             // score: shortest re the next onset, log
	{[Grades][2]fitted{{{}, {}}, {{}, {-0.0431, 0.0178}}}, [2]fitted{{}, {-0.1114, 0.0673}}},                                                             // score: ends before the next onset
	{[Grades][2]fitted{{{}, {}}, {{-0.0471, 0.0124}, {-0.0770, 0.0199}}}, [2]fitted{{-0.1364, 0.0441}, {-0.2147, 0.0653}}},                               // score: a dot
	{[Grades][2]fitted{{{}, {}}, {{-0.0341, 0.0073}, {+0.0198, 0.0104}}}, [2]fitted{{-0.0399, 0.0155}, {+0.0434, 0.0209}}},                               // score: a slur
	{[Grades][2]fitted{{{}, {}}, {{}, {+0.0487, 0.0246}}}, [2]fitted{{-0.1713, 0.0638}, {}}},                                                             // score: an accent
	{[Grades][2]fitted{{{}, {}}, {{}, {+0.0070, 0.0032}}}, [2]fitted{{+0.0105, 0.0054}, {+0.0196, 0.0073}}},                                              // score: level
	{[Grades][2]fitted{{{}, {}}, {{+0.0221, 0.0225}, {+0.0727, 0.0184}}}, [2]fitted{{+0.1255, 0.0615}, {+0.2610, 0.0487}}},                               // score: pedal marked
	{[Grades][2]fitted{{{}, {}}, {{-0.0319, 0.0509}, {+0.0306, 0.0381}}}, [2]fitted{{-0.3760, 0.1785}, {}}},                                              // score: pedal marked from here
	{[Grades][2]fitted{{{}, {}}, {{-0.0717, 0.0829}, {-0.1018, 0.0599}}}, [2]fitted{{+0.2200, 0.1316}, {+0.2700, 0.0992}}},                               // score: nearness of the end
	{[Grades][2]fitted{{{}, {-0.0128, 0.0161}}, {{-0.0098, 0.0114}, {-0.0099, 0.0192}}}, [2]fitted{{-0.0332, 0.0093}, {-0.0483, 0.0149}}},                // onsets before, 0.7 s
	{[Grades][2]fitted{{{-0.0175, 0.0211}, {-0.0264, 0.0119}}, {{}, {-0.0173, 0.0084}}}, [2]fitted{{}, {-0.0233, 0.0197}}},                               // notes, log before, 0.7 s
	{[Grades][2]fitted{{{+0.0504, 0.0062}, {+0.0250, 0.0113}}, {{+0.0272, 0.0058}, {+0.0100, 0.0088}}}, [2]fitted{{+0.0649, 0.0114}, {+0.0275, 0.0100}}}, // sounding, log before, 0.7 s
	{[Grades][2]fitted{{{+0.0240, 0.0144}, {}}, {{+0.0444, 0.0105}, {+0.0253, 0.0144}}}, [2]fitted{{+0.0918, 0.0180}, {+0.0344, 0.0228}}},                // something sounds on before, 0.7 s
	{[Grades][2]fitted{{{}, {-0.1518, 0.1047}}, {{}, {-0.0046, 0.0284}}}, [2]fitted{{}, {}}},                                                             // rest before it before, 0.7 s
	{[Grades][2]fitted{{{-0.0289, 0.0157}, {}}, {{-0.0374, 0.0115}, {-0.0153, 0.0100}}}, [2]fitted{{-0.0174, 0.0107}, {+0.0274, 0.0138}}},                // lowest key before, 0.7 s
	{[Grades][2]fitted{{{+0.0337, 0.0161}, {+0.0317, 0.0082}}, {{+0.0337, 0.0167}, {+0.0381, 0.0095}}}, [2]fitted{{+0.0229, 0.0174}, {+0.0448, 0.0098}}}, // highest key before, 0.7 s
	{[Grades][2]fitted{{{+0.0223, 0.0109}, {}}, {{-0.0128, 0.0102}, {-0.0221, 0.0108}}}, [2]fitted{{+0.0495, 0.0165}, {}}},                               // width before, 0.7 s
	{[Grades][2]fitted{{{-0.0065, 0.0787}, {-0.0359, 0.0458}}, {{}, {}}}, [2]fitted{{}, {-0.0542, 0.0728}}},                                              // a step before, 0.7 s
	{[Grades][2]fitted{{{+0.0952, 0.0334}, {+0.0824, 0.0293}}, {{+0.0550, 0.0165}, {+0.0608, 0.0284}}}, [2]fitted{{+0.1455, 0.0417}, {+0.1110, 0.0543}}}, // a leap before, 0.7 s
	{[Grades][2]fitted{{{+0.1735, 0.0524}, {-0.0738, 0.0651}}, {{+0.1370, 0.0334}, {}}}, [2]fitted{{+0.2056, 0.0914}, {-0.0639, 0.0914}}},                // the same again before, 0.7 s
	{[Grades][2]fitted{{{-0.0671, 0.0173}, {-0.0250, 0.0285}}, {{-0.0433, 0.0116}, {-0.0296, 0.0257}}}, [2]fitted{{}, {-0.0328, 0.0421}}},                // new pitch classes before, 0.7 s
	{[Grades][2]fitted{{{-0.0679, 0.0138}, {-0.0565, 0.0144}}, {{-0.0565, 0.0101}, {-0.0460, 0.0142}}}, [2]fitted{{-0.1533, 0.0210}, {-0.1183, 0.0352}}}, // clashes, log before, 0.7 s
	{[Grades][2]fitted{{{+0.0340, 0.0317}, {}}, {{+0.0418, 0.0303}, {}}}, [2]fitted{{+0.0823, 0.0302}, {-0.0379, 0.0245}}},                               // is the bass before, 0.7 s
	{[Grades][2]fitted{{{+0.0171, 0.0149}, {+0.0193, 0.0133}}, {{+0.0193, 0.0100}, {}}}, [2]fitted{{+0.0287, 0.0207}, {}}},                               // leap of the lowest before, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0441, 0.0708}, {-0.0914, 0.1046}}}, [2]fitted{{}, {}}},                                                             // score: ends before the next onset before, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{-0.1041, 0.0172}, {}}}, [2]fitted{{-0.2329, 0.0605}, {}}},                                                             // score: a dot before, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0496, 0.0167}, {}}}, [2]fitted{{+0.1009, 0.0239}, {+0.0381, 0.0182}}},                                              // score: a slur before, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0018, 0.0038}, {+0.0103, 0.0069}}}, [2]fitted{{-0.0057, 0.0052}, {+0.0138, 0.0052}}},                               // score: level before, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0693, 0.0306}, {+0.0338, 0.0363}}}, [2]fitted{{+0.0745, 0.0455}, {+0.0505, 0.0441}}},                               // score: pedal marked before, 0.7 s
	{[Grades][2]fitted{{{-0.0197, 0.0240}, {-0.0231, 0.0142}}, {{}, {}}}, [2]fitted{{-0.0149, 0.0118}, {}}},                                              // onsets before, 3 s
	{[Grades][2]fitted{{{-0.0534, 0.0212}, {-0.0283, 0.0176}}, {{-0.0225, 0.0157}, {-0.0165, 0.0166}}}, [2]fitted{{-0.0361, 0.0255}, {}}},                // notes, log before, 3 s
	{[Grades][2]fitted{{{+0.0468, 0.0134}, {+0.0417, 0.0131}}, {{+0.0088, 0.0072}, {+0.0300, 0.0094}}}, [2]fitted{{}, {+0.0221, 0.0187}}},                // sounding, log before, 3 s
	{[Grades][2]fitted{{{-0.0650, 0.0254}, {-0.0562, 0.0337}}, {{-0.0269, 0.0212}, {-0.0438, 0.0312}}}, [2]fitted{{}, {-0.0341, 0.0426}}},                // something sounds on before, 3 s
	{[Grades][2]fitted{{{+0.3652, 0.2027}, {+0.2941, 0.1280}}, {{+0.1980, 0.0627}, {+0.0457, 0.0914}}}, [2]fitted{{+0.4292, 0.2545}, {+0.2788, 0.1444}}}, // rest before it before, 3 s
	{[Grades][2]fitted{{{}, {+0.0059, 0.0143}}, {{-0.0249, 0.0153}, {-0.0298, 0.0192}}}, [2]fitted{{}, {}}},                                              // lowest key before, 3 s
	{[Grades][2]fitted{{{+0.0362, 0.0211}, {}}, {{+0.0643, 0.0165}, {+0.0309, 0.0105}}}, [2]fitted{{+0.0586, 0.0185}, {}}},                               // highest key before, 3 s
	{[Grades][2]fitted{{{-0.0490, 0.0186}, {-0.0172, 0.0164}}, {{-0.0349, 0.0176}, {-0.0241, 0.0110}}}, [2]fitted{{+0.0333, 0.0191}, {+0.0235, 0.0191}}}, // width before, 3 s
	{[Grades][2]fitted{{{}, {+0.0913, 0.1190}}, {{-0.0881, 0.0267}, {}}}, [2]fitted{{-0.1277, 0.0668}, {}}},                                              // a step before, 3 s
	{[Grades][2]fitted{{{}, {}}, {{}, {-0.0235, 0.0247}}}, [2]fitted{{+0.0434, 0.0697}, {}}},                                                             // a leap before, 3 s
	{[Grades][2]fitted{{{-0.4299, 0.1539}, {}}, {{-0.2202, 0.1106}, {-0.0951, 0.0919}}}, [2]fitted{{}, {}}},                                              // the same again before, 3 s
	{[Grades][2]fitted{{{}, {-0.0804, 0.0550}}, {{+0.0242, 0.0305}, {-0.0283, 0.0224}}}, [2]fitted{{}, {-0.0689, 0.0554}}},                               // new pitch classes before, 3 s
	{[Grades][2]fitted{{{-0.0620, 0.0240}, {}}, {{-0.0447, 0.0185}, {}}}, [2]fitted{{-0.0883, 0.0389}, {}}},                                              // clashes, log before, 3 s
	{[Grades][2]fitted{{{+0.0791, 0.0344}, {+0.0670, 0.0514}}, {{+0.0566, 0.0216}, {+0.0577, 0.0365}}}, [2]fitted{{+0.0624, 0.0491}, {+0.0320, 0.0585}}}, // is the bass before, 3 s
	{[Grades][2]fitted{{{-0.0574, 0.0135}, {-0.0351, 0.0269}}, {{-0.0326, 0.0100}, {}}}, [2]fitted{{-0.0501, 0.0253}, {-0.0294, 0.0366}}},                // leap of the lowest before, 3 s
	{[Grades][2]fitted{{{}, {}}, {{}, {+0.1537, 0.1094}}}, [2]fitted{{}, {+0.0833, 0.1417}}},                                                             // score: ends before the next onset before, 3 s
	{[Grades][2]fitted{{{}, {}}, {{}, {-0.0566, 0.0511}}}, [2]fitted{{-0.0577, 0.0834}, {-0.1063, 0.0858}}},                                              // score: a dot before, 3 s
	{[Grades][2]fitted{{{}, {}}, {{}, {+0.0289, 0.0295}}}, [2]fitted{{}, {+0.0184, 0.0358}}},                                                             // score: a slur before, 3 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0041, 0.0082}, {-0.0102, 0.0083}}}, [2]fitted{{}, {-0.0286, 0.0101}}},                                              // score: level before, 3 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0935, 0.0702}, {-0.0913, 0.0636}}}, [2]fitted{{}, {-0.0883, 0.1049}}},                                              // score: pedal marked before, 3 s
	{[Grades][2]fitted{{{+0.0442, 0.0218}, {+0.0386, 0.0225}}, {{+0.0494, 0.0136}, {+0.0646, 0.0149}}}, [2]fitted{{+0.0734, 0.0179}, {+0.0496, 0.0212}}}, // onsets before, 12 s
	{[Grades][2]fitted{{{+0.1651, 0.0726}, {+0.1185, 0.0362}}, {{+0.0229, 0.0325}, {}}}, [2]fitted{{-0.0479, 0.0348}, {-0.0209, 0.0363}}},                // notes, log before, 12 s
	{[Grades][2]fitted{{{+0.1606, 0.0289}, {+0.1248, 0.0231}}, {{+0.0329, 0.0127}, {+0.0416, 0.0104}}}, [2]fitted{{}, {}}},                               // sounding, log before, 12 s
	{[Grades][2]fitted{{{-0.1171, 0.0788}, {-0.1084, 0.0950}}, {{-0.0712, 0.0313}, {-0.1363, 0.0630}}}, [2]fitted{{}, {+0.0505, 0.0668}}},                // something sounds on before, 12 s
	{[Grades][2]fitted{{{-0.5847, 0.6898}, {-0.5584, 0.3700}}, {{}, {}}}, [2]fitted{{}, {}}},                                                             // rest before it before, 12 s
	{[Grades][2]fitted{{{-0.0691, 0.0268}, {-0.0322, 0.0365}}, {{-0.0477, 0.0241}, {-0.0110, 0.0397}}}, [2]fitted{{-0.0410, 0.0348}, {+0.0194, 0.0186}}}, // lowest key before, 12 s
	{[Grades][2]fitted{{{+0.0716, 0.0604}, {}}, {{+0.0279, 0.0401}, {}}}, [2]fitted{{}, {-0.0090, 0.0150}}},                                              // highest key before, 12 s
	{[Grades][2]fitted{{{+0.0968, 0.0377}, {+0.0319, 0.0399}}, {{-0.0309, 0.0335}, {-0.0321, 0.0339}}}, [2]fitted{{+0.0104, 0.0342}, {-0.0299, 0.0407}}}, // width before, 12 s
	{[Grades][2]fitted{{{}, {-0.1516, 0.1777}}, {{+0.0678, 0.0900}, {-0.1178, 0.0645}}}, [2]fitted{{-0.0841, 0.1306}, {-0.2579, 0.1645}}},                // a step before, 12 s
	{[Grades][2]fitted{{{+0.4909, 0.1042}, {+0.2999, 0.0498}}, {{}, {-0.0759, 0.0548}}}, [2]fitted{{-0.1580, 0.1313}, {-0.2232, 0.0892}}},                // a leap before, 12 s
	{[Grades][2]fitted{{{+0.6280, 0.2936}, {+0.1808, 0.1436}}, {{+0.2898, 0.2256}, {+0.2652, 0.2176}}}, [2]fitted{{-0.2595, 0.2387}, {}}},                // the same again before, 12 s
	{[Grades][2]fitted{{{+0.1388, 0.1286}, {+0.1952, 0.0568}}, {{+0.0301, 0.0553}, {+0.0835, 0.0217}}}, [2]fitted{{-0.0889, 0.0771}, {}}},                // new pitch classes before, 12 s
	{[Grades][2]fitted{{{-0.1864, 0.0823}, {-0.0892, 0.0595}}, {{-0.0433, 0.0275}, {-0.0224, 0.0461}}}, [2]fitted{{-0.0554, 0.0342}, {}}},                // clashes, log before, 12 s
	{[Grades][2]fitted{{{-0.4320, 0.0999}, {-0.2492, 0.0971}}, {{-0.1724, 0.0771}, {-0.0953, 0.0801}}}, [2]fitted{{}, {}}},                               // is the bass before, 12 s
	{[Grades][2]fitted{{{-0.0320, 0.0311}, {}}, {{-0.0040, 0.0299}, {}}}, [2]fitted{{-0.0352, 0.0349}, {-0.0305, 0.0350}}},                               // leap of the lowest before, 12 s
	{[Grades][2]fitted{{{}, {}}, {{-0.1740, 0.0997}, {-0.0254, 0.1769}}}, [2]fitted{{}, {}}},                                                             // score: ends before the next onset before, 12 s
	{[Grades][2]fitted{{{}, {}}, {{-0.1161, 0.0744}, {-0.0482, 0.0504}}}, [2]fitted{{-0.2119, 0.0975}, {-0.2084, 0.1061}}},                               // score: a dot before, 12 s
	{[Grades][2]fitted{{{}, {}}, {{}, {-0.0279, 0.0312}}}, [2]fitted{{-0.0331, 0.0578}, {-0.1112, 0.0603}}},                                              // score: a slur before, 12 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0115, 0.0108}, {-0.0223, 0.0138}}}, [2]fitted{{-0.0306, 0.0174}, {-0.0218, 0.0209}}},                               // score: level before, 12 s
	{[Grades][2]fitted{{{}, {}}, {{+0.2073, 0.1277}, {+0.1589, 0.0873}}}, [2]fitted{{+0.2092, 0.1367}, {+0.2694, 0.1194}}},                               // score: pedal marked before, 12 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0192, 0.0152}, {+0.0106, 0.0114}}}, [2]fitted{{+0.0437, 0.0177}, {+0.0773, 0.0092}}},                               // score: onsets after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{}, {+0.0222, 0.0107}}}, [2]fitted{{}, {+0.0670, 0.0069}}},                                                             // score: notes, log after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0168, 0.0076}, {+0.0126, 0.0068}}}, [2]fitted{{+0.0294, 0.0101}, {+0.0221, 0.0166}}},                               // score: sounding, log after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{}, {-0.0143, 0.0212}}}, [2]fitted{{+0.0213, 0.0289}, {-0.0434, 0.0312}}},                                              // score: something sounds on after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0370, 0.1273}, {+0.0370, 0.0518}}}, [2]fitted{{}, {}}},                                                             // score: rest before it after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0221, 0.0100}, {-0.0151, 0.0071}}}, [2]fitted{{+0.0105, 0.0087}, {+0.0202, 0.0131}}},                               // score: lowest key after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0662, 0.0114}, {+0.0413, 0.0077}}}, [2]fitted{{+0.0697, 0.0121}, {+0.0407, 0.0128}}},                               // score: highest key after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0159, 0.0136}, {-0.0207, 0.0124}}}, [2]fitted{{+0.0483, 0.0190}, {+0.0094, 0.0091}}},                               // score: width after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0259, 0.0287}, {}}}, [2]fitted{{-0.0371, 0.0540}, {}}},                                                             // score: a step after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{}, {}}}, [2]fitted{{-0.0305, 0.0394}, {}}},                                                                            // score: a leap after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{-0.1353, 0.0388}, {-0.0491, 0.0362}}}, [2]fitted{{-0.2084, 0.0863}, {}}},                                              // score: the same again after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{}, {-0.0280, 0.0163}}}, [2]fitted{{}, {}}},                                                                            // score: new pitch classes after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0091, 0.0112}, {}}}, [2]fitted{{}, {+0.0188, 0.0291}}},                                                             // score: clashes, log after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0151, 0.0168}, {+0.0330, 0.0188}}}, [2]fitted{{+0.0332, 0.0209}, {+0.0667, 0.0283}}},                               // score: is the bass after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{}, {}}}, [2]fitted{{-0.0337, 0.0134}, {}}},                                                                            // score: leap of the lowest after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0642, 0.0368}, {-0.0383, 0.0563}}}, [2]fitted{{-0.0715, 0.1298}, {-0.0368, 0.1092}}},                               // score: ends before the next onset after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0500, 0.0276}, {-0.0884, 0.0325}}}, [2]fitted{{-0.1282, 0.0342}, {-0.1770, 0.0900}}},                               // score: a dot after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0280, 0.0083}, {+0.0553, 0.0143}}}, [2]fitted{{+0.0502, 0.0236}, {+0.1084, 0.0283}}},                               // score: a slur after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0054, 0.0052}, {+0.0237, 0.0106}}}, [2]fitted{{+0.0078, 0.0055}, {+0.0348, 0.0155}}},                               // score: level after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{}, {-0.0387, 0.0274}}}, [2]fitted{{+0.0419, 0.0673}, {-0.0621, 0.0586}}},                                              // score: pedal marked after, 0.7 s
	{[Grades][2]fitted{{{}, {}}, {{}, {}}}, [2]fitted{{+0.0222, 0.0143}, {+0.0424, 0.0216}}},                                                             // score: onsets after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0343, 0.0192}, {-0.0283, 0.0101}}}, [2]fitted{{-0.0392, 0.0286}, {}}},                                              // score: notes, log after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0257, 0.0094}, {+0.0247, 0.0137}}}, [2]fitted{{+0.0308, 0.0157}, {+0.0200, 0.0223}}},                               // score: sounding, log after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{}, {}}}, [2]fitted{{+0.0886, 0.0244}, {+0.0581, 0.0450}}},                                                             // score: something sounds on after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{}, {+0.1980, 0.1053}}}, [2]fitted{{}, {+0.2876, 0.1427}}},                                                             // score: rest before it after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0468, 0.0191}, {-0.0143, 0.0224}}}, [2]fitted{{-0.0259, 0.0163}, {}}},                                              // score: lowest key after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{}, {}}}, [2]fitted{{-0.0132, 0.0091}, {}}},                                                                            // score: highest key after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0118, 0.0115}, {-0.0146, 0.0101}}}, [2]fitted{{+0.0290, 0.0182}, {+0.0119, 0.0120}}},                               // score: width after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0513, 0.0564}, {-0.1055, 0.0622}}}, [2]fitted{{+0.0682, 0.1043}, {-0.2067, 0.1401}}},                               // score: a step after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{}, {+0.0379, 0.0201}}}, [2]fitted{{+0.0868, 0.0747}, {+0.0886, 0.0547}}},                                              // score: a leap after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{}, {}}}, [2]fitted{{}, {}}},                                                                                           // score: the same again after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0772, 0.0295}, {-0.0039, 0.0213}}}, [2]fitted{{-0.1849, 0.0540}, {-0.0595, 0.0502}}},                               // score: new pitch classes after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0234, 0.0151}, {-0.0111, 0.0284}}}, [2]fitted{{-0.0455, 0.0420}, {-0.0465, 0.0457}}},                               // score: clashes, log after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{}, {-0.0616, 0.0309}}}, [2]fitted{{-0.0691, 0.0733}, {-0.1219, 0.1004}}},                                              // score: is the bass after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0288, 0.0132}, {-0.0144, 0.0280}}}, [2]fitted{{-0.0815, 0.0309}, {-0.0620, 0.0270}}},                               // score: leap of the lowest after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{}, {}}}, [2]fitted{{}, {+0.0596, 0.0869}}},                                                                            // score: ends before the next onset after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{}, {+0.0917, 0.0577}}}, [2]fitted{{-0.0845, 0.0780}, {}}},                                                             // score: a dot after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{}, {-0.0370, 0.0240}}}, [2]fitted{{}, {-0.0538, 0.0552}}},                                                             // score: a slur after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{}, {-0.0091, 0.0101}}}, [2]fitted{{+0.0118, 0.0071}, {-0.0061, 0.0084}}},                                              // score: level after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{}, {+0.0410, 0.0431}}}, [2]fitted{{-0.0576, 0.0568}, {}}},                                                             // score: pedal marked after, 3 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0245, 0.0173}, {-0.0115, 0.0160}}}, [2]fitted{{-0.0663, 0.0151}, {}}},                                              // score: onsets after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0553, 0.0341}, {+0.0206, 0.0295}}}, [2]fitted{{}, {}}},                                                             // score: notes, log after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0480, 0.0156}, {+0.0433, 0.0116}}}, [2]fitted{{+0.0140, 0.0245}, {+0.0196, 0.0219}}},                               // score: sounding, log after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0609, 0.0338}, {-0.1136, 0.0635}}}, [2]fitted{{-0.0376, 0.0583}, {}}},                                              // score: something sounds on after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{}, {-0.1332, 0.0850}}}, [2]fitted{{}, {}}},                                                                            // score: rest before it after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0240, 0.0210}, {+0.0004, 0.0364}}}, [2]fitted{{}, {+0.0112, 0.0244}}},                                              // score: lowest key after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0590, 0.0301}, {}}}, [2]fitted{{}, {}}},                                                                            // score: highest key after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0570, 0.0222}, {-0.0225, 0.0335}}}, [2]fitted{{}, {-0.0203, 0.0264}}},                                              // score: width after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0398, 0.0752}, {+0.0090, 0.1365}}}, [2]fitted{{-0.1528, 0.1222}, {+0.1371, 0.1404}}},                               // score: a step after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{+0.2115, 0.0600}, {+0.1056, 0.0536}}}, [2]fitted{{+0.2133, 0.0800}, {+0.2378, 0.0676}}},                               // score: a leap after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{+0.1853, 0.1272}, {+0.0927, 0.0899}}}, [2]fitted{{}, {}}},                                                             // score: the same again after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0378, 0.0358}, {}}}, [2]fitted{{-0.0949, 0.0721}, {-0.1214, 0.0959}}},                                              // score: new pitch classes after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0364, 0.0329}, {}}}, [2]fitted{{-0.0530, 0.0449}, {}}},                                                             // score: clashes, log after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{-0.2260, 0.0802}, {}}}, [2]fitted{{-0.0913, 0.1044}, {}}},                                                             // score: is the bass after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0435, 0.0400}, {}}}, [2]fitted{{-0.0703, 0.0393}, {-0.0459, 0.0299}}},                                              // score: leap of the lowest after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0799, 0.0847}, {}}}, [2]fitted{{}, {}}},                                                                            // score: ends before the next onset after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{-0.1931, 0.0775}, {-0.2341, 0.0776}}}, [2]fitted{{-0.4115, 0.1508}, {-0.3801, 0.1055}}},                               // score: a dot after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{+0.0377, 0.0413}, {}}}, [2]fitted{{}, {}}},                                                                            // score: a slur after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{}, {-0.0178, 0.0127}}}, [2]fitted{{-0.0316, 0.0152}, {-0.0401, 0.0226}}},                                              // score: level after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{-0.0272, 0.0762}, {-0.0544, 0.0385}}}, [2]fitted{{-0.1749, 0.1270}, {-0.2130, 0.0479}}},                               // score: pedal marked after, 12 s
	{[Grades][2]fitted{{{}, {}}, {{}, {-0.0056, 0.0072}}}, [2]fitted{{+0.0120, 0.0069}, {+0.0121, 0.0116}}},                                              // score: next: notes, log
	{[Grades][2]fitted{{{}, {}}, {{-0.0115, 0.0062}, {+0.0260, 0.0071}}}, [2]fitted{{-0.0313, 0.0159}, {+0.0333, 0.0126}}},                               // score: next: something sounds on
	{[Grades][2]fitted{{{}, {}}, {{-0.0874, 0.0646}, {-0.1466, 0.0402}}}, [2]fitted{{}, {-0.2871, 0.0897}}},                                              // score: next: rest before it
	{[Grades][2]fitted{{{}, {}}, {{+0.0473, 0.0194}, {}}}, [2]fitted{{+0.0655, 0.0489}, {}}},                                                             // score: next: the same again
	{[Grades][2]fitted{{{}, {}}, {{-0.0068, 0.0036}, {-0.0092, 0.0061}}}, [2]fitted{{-0.0257, 0.0100}, {-0.0344, 0.0131}}},                               // score: next: new pitch classes
	{[Grades][2]fitted{{{}, {}}, {{-0.0245, 0.0079}, {-0.0175, 0.0132}}}, [2]fitted{{-0.0619, 0.0129}, {-0.0691, 0.0224}}},                               // score: next: clashes, log
	{[Grades][2]fitted{{{}, {}}, {{}, {-0.0068, 0.0096}}}, [2]fitted{{-0.0273, 0.0079}, {-0.0286, 0.0158}}},                                              // score: next: how low they are
	{[Grades][2]fitted{{{}, {}}, {{-0.0115, 0.0091}, {}}}, [2]fitted{{-0.0240, 0.0162}, {-0.0306, 0.0322}}},                                              // score: next: is the bass
	{[Grades][2]fitted{{{}, {}}, {{+0.0226, 0.0100}, {}}}, [2]fitted{{+0.0564, 0.0155}, {+0.0402, 0.0410}}},                                              // score: next: a new bass
	{[Grades][2]fitted{{{}, {}}, {{}, {-0.0242, 0.0087}}}, [2]fitted{{}, {-0.0617, 0.0206}}},                                                             // score: next: a step of the bass
	{[Grades][2]fitted{{{}, {}}, {{-0.0055, 0.0032}, {+0.0274, 0.0076}}}, [2]fitted{{-0.0184, 0.0074}, {+0.0696, 0.0114}}},                               // score: next: time since the onset before, log
	{[Grades][2]fitted{{{}, {}}, {{+0.3334, 0.0781}, {+0.2423, 0.0459}}}, [2]fitted{{-0.0353, 0.0426}, {+0.0353, 0.0426}}},                               // score: piece: notes, log
	{[Grades][2]fitted{{{}, {}}, {{+0.1601, 0.0358}, {+0.0973, 0.0462}}}, [2]fitted{{+0.0273, 0.0263}, {-0.0273, 0.0263}}},                               // score: piece: sounding, log
	{[Grades][2]fitted{{{}, {}}, {{-1.8846, 1.6319}, {-0.4265, 0.9699}}}, [2]fitted{{}, {}}},                                                             // score: piece: rest before it
	{[Grades][2]fitted{{{}, {}}, {{}, {}}}, [2]fitted{{}, {}}},                                                                                           // score: piece: lowest key
	{[Grades][2]fitted{{{}, {}}, {{+0.0500, 0.0525}, {}}}, [2]fitted{{}, {}}},                                                                            // score: piece: width
	{[Grades][2]fitted{{{}, {}}, {{-0.1634, 0.2491}, {}}}, [2]fitted{{}, {}}},                                                                            // score: piece: a step
	{[Grades][2]fitted{{{}, {}}, {{+0.6296, 0.1764}, {+0.5457, 0.1401}}}, [2]fitted{{}, {}}},                                                             // score: piece: a leap
	{[Grades][2]fitted{{{}, {}}, {{+0.1114, 0.1099}, {+0.1301, 0.1005}}}, [2]fitted{{}, {}}},                                                             // score: piece: new pitch classes
	{[Grades][2]fitted{{{}, {}}, {{-0.0942, 0.0592}, {}}}, [2]fitted{{}, {}}},                                                                            // score: piece: clashes, log
	{[Grades][2]fitted{{{}, {}}, {{+0.0177, 0.0209}, {}}}, [2]fitted{{-0.0108, 0.0159}, {+0.0108, 0.0159}}},                                              // score: piece: time since the onset before, log
	{[Grades][2]fitted{{{}, {}}, {{}, {}}}, [2]fitted{{+0.0262, 0.0316}, {-0.0262, 0.0316}}},                                                             // score: piece: leap of the lowest
	{[Grades][2]fitted{{{}, {}}, {{+1.3916, 0.6262}, {}}}, [2]fitted{{+0.5079, 0.3259}, {-0.5079, 0.3259}}},                                              // score: piece: ends before the next onset
	{[Grades][2]fitted{{{}, {}}, {{+0.1213, 0.1833}, {+0.2887, 0.1803}}}, [2]fitted{{}, {}}},                                                             // score: piece: a dot
	{[Grades][2]fitted{{{}, {}}, {{+0.1439, 0.0944}, {+0.1729, 0.0749}}}, [2]fitted{{-0.0600, 0.0528}, {+0.0600, 0.0528}}},                               // score: piece: a slur
	{[Grades][2]fitted{{{}, {}}, {{}, {+0.1376, 0.1365}}}, [2]fitted{{+0.1140, 0.0979}, {-0.1140, 0.0979}}},                                              // score: piece: pedal marked
}
