// Package quiz trains the ear: it renders two takes of a few bars that differ in one
// thing, by a known amount, and finds the least amount that a listener still hears.
//
// A [Score] is cut into passages. A [Skill] is one thing that takes may differ in, and
// [Skills] the table of them. A [Drill] asks about one skill in one score: [Drill.Ask]
// gives a [Question], two takes of one loudness in an order that nobody is told. A
// [Staircase] sets the amount from the answers, and a [Record] keeps them.
//
// Nothing here plays sound or talks to the user.
package quiz
