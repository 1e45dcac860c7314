// Package intake takes in figures from people who do not write the format: a
// spreadsheet becomes contribution files, one a row, and answers to questions
// become an engine file.
//
// A spreadsheet is read by a mapping, which says for each column which figure it
// holds. [Propose] makes one from the headers, for a person to look over;
// [Import] follows it. What cannot be read is listed cell by cell for correction,
// and a column that no figure is known for goes along as a remark: nothing is
// dropped but what the mapping says is ignored.
//
// It does not merge (package data/merge) nor judge figures against one another
// (package lint).
package intake
