// Package loudness measures how loud a recording is: ITU-R BS.1770-5 with the
// range of EBU Tech 3342. [Measure] is a pure function of the samples.
//
// Levels are in LKFS, which EBU R 128 calls LUFS; differences are in LU, which are
// decibels. A sine of 997 Hz at full scale in one channel has -3.01 LKFS.
package loudness
