// Package table keeps the rows of a study in Parquet files.
package table
