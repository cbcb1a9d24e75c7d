// Package crew shares the cases of a study out to workers and gathers what they find, each case once.
//
// Start with [Coordinate], which runs a study into a folder, and [Work], which solves cases for it here or on another
// machine. [Rows] reads a folder, also of a study that is still running.
//
// The folder is the truth: a case is done when a sealed file under parts/ holds its row. The server in between holds
// what is handed out and what has come back, and may be lost with all it has: what is not in the folder is handed out
// again. Work is done at least once and counted once: a row of a case that is there already is dropped. A coordinator
// that was told to stop leaves no case half told: its workers hand over what they have solved and give the rest back.
//
// Not here: what a case is and how it is solved (study), what a message is (queue), what a row is (table).
package crew
