// Package foreground holds the balance report against orchestral movements in which an analyst marked
// where the main line is: does the report find what doubles what, is the main line in front, how often
// does it warn of music that works, and does it find faults that are planted.
//
// A movement is a folder with score.csv, the highest note of each part at every place, annotations.csv and
// alignment.csv, which say where the main line is, relations.csv, the parts that double each other, and score.mxl.
// No fragment of a corpus stands here; who has one runs "make lines DATA=FOLDER".
package foreground
