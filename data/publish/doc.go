// Package publish makes a release of a dataset: what other programs and the web
// pages read. The published model is that of package release, which says what
// its fields mean and by which rule a figure has its value; this package makes
// it from engines as they were read, and writes it in every form.
//
// It judges nothing: what the linter finds decides beforehand whether there is
// a release at all.
package publish
