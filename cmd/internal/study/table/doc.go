// Package table keeps the rows of a study, one a case, in Parquet files and writes them as CSV.
//
// Start with [Write] and [Open]; [Gather] puts the rows of many files into one, in the order of their cases. [Columns]
// says what the columns are.
//
// The files are plain Parquet (data pages of version 1, Snappy, a checksum a page), so any reader of the format takes
// them: figures are optional doubles, null where there is none; texts are UTF-8; a curve is four lists of doubles. The
// same rows make the same bytes. Between the index of the pages and the footer, where readers do not look, stands a seal:
// sums over all bytes of the file. [Open] reads nothing that the seal does not vouch for, so a damaged file is refused
// or gives the rows that were written, never others. It is no signature: who changes a file on purpose can seal it again.
//
// Not here: what a case is (study), and reading tables of another program, which have no seal.
package table
