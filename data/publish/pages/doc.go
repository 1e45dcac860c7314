// Package pages writes a release as web pages: files in a folder that need no
// server, make no request of their own and can be read without scripts. There
// is a page for each engine and variant with a setting sheet to print, a page
// that finds engines, one that compares two, and one by which somebody
// contributes figures, checked by the linter in the browser itself.
//
// The pages are written from the published model. What the model does not hold
// (a figure in other units, the text of the file that a contribution adds to)
// comes from the engine as it was read. Whatever a file holds, a page shows it
// as text.
package pages
