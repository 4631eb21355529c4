// Package fit fits the habits of players to real players.
//
// A quantity, such as the log of a beat's duration, is a sum of terms that the packages under expr
// compute, here as well as while they play. What each weighs is found by ridge regression over
// all pieces; how well it does, by leaving out a tenth of the works at a time. Everything is
// deterministic: the same data give the same tables to the last digit.
package fit
