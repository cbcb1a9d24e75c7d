// Package study solves many cases, on one machine or over workers, each exactly once.
package study
