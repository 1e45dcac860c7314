// Package serve is the editor server: it speaks the Language Server Protocol
// 3.17 over two streams and answers from the linter, the format and the register
// of sources, for the files of a dataset as they stand in the editor.
//
// What lives here: the protocol, the open documents, and what each request is
// answered with. What is right or wrong in a file is for lint; what a file may
// hold is for schema.
//
// Nothing is ever written to disk. The editor makes the changes that it is
// offered.
package serve
