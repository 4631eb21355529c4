package acoustics

// weightPhon is the contour by which strength is weighted. Ours: about what a
// listener in a hall has of an orchestra's forte.
const weightPhon = 80

// bandShare is Stevens's F for third-octave bands: Mark VI, 1961, from memory.
const bandShare = 0.15

// Masking offsets: Johnston 1988, from memory.
const (
	noiseMaskingToneDB = 5.5
	toneMaskingNoiseDB = 14.5 // and the masker's critical-band rate in Bark
)

// iso226 has a row for each third-octave band from 20 Hz to 12.5 kHz.
//
// Source: ISO 226:2023, table 1, from a secondary copy.
var iso226 = [NumBands]struct {
	alpha float64 // exponent of loudness perception
	lu    float64 // magnitude of the transfer function re 1 kHz, dB
	tf    float64 // threshold of hearing, dB
}{
	{.635, -31.5, 78.1}, // 20 Hz
	{.602, -27.2, 68.7},
	{.569, -23.1, 59.5},
	{.537, -19.3, 51.1},
	{.509, -16.1, 44.0}, // 50 Hz
	{.482, -13.1, 37.5},
	{.456, -10.4, 31.5},
	{.433, -8.2, 26.5}, // 100 Hz
	{.412, -6.3, 22.1},
	{.391, -4.6, 17.9},
	{.373, -3.2, 14.4}, // 200 Hz
	{.357, -2.1, 11.4},
	{.343, -1.2, 8.6},
	{.330, -0.5, 6.2},
	{.320, 0.0, 4.4}, // 500 Hz
	{.311, 0.4, 3.0},
	{.303, 0.5, 2.2},
	{.300, 0.0, 2.4}, // 1 kHz
	{.295, -2.7, 3.5},
	{.292, -4.2, 1.7},
	{.290, -1.2, -1.3}, // 2 kHz
	{.290, 1.4, -4.2},
	{.289, 2.3, -6.0},
	{.289, 1.0, -5.4},
	{.289, -2.3, -1.5}, // 5 kHz
	{.293, -7.2, 6.0},
	{.303, -11.2, 12.6},
	{.323, -10.9, 13.9}, // 10 kHz
	{.354, -3.5, 12.3},
}

// aWeighting is in dB by band.
//
// Source: IEC 61672-1:2013, table 3, from a secondary copy.
var aWeighting = Bands{
	-50.5, -44.7, -39.4, -34.6, -30.2, -26.2, -22.5, // 20 to 80 Hz
	-19.1, -16.1, -13.4, -10.9, -8.6, -6.6, -4.8, -3.2, -1.9, -0.8, // 100 to 800 Hz
	0, 0.6, 1.0, 1.2, 1.3, 1.2, 1.0, 0.5, -0.1, -1.1, -2.5, -4.3, // 1 to 12.5 kHz
}
