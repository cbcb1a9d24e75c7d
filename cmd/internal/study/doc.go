// Package study is many cases of few scenarios: which there are, one of them solved, and what all come to.
//
// Start with [Read] and [Make], which make a [Plan] of a study file; [Bench.Run] solves a case of it, [Summarise] sums
// up the rows. A plan and its inputs, each known by its SHA-256, are all that another machine needs.
//
// Not here: who solves which case and where the rows are kept (crew), and how they look (report).
package study
