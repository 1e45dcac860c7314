// Package figure reads a figure as its source prints it, and never changes the
// print: [Printed.String] gives back the text byte for byte.
//
// A print says two things: a value, and how closely the value is known. Both
// are kept exactly, as rational numbers. What lives here: the kinds of figure,
// their forms in print, and the interval that each form justifies. What does
// not: which slot of an engine file takes which kind (schema), and whether two
// figures agree (lint).
//
// # How closely a print is known
//
// Three classes of figure, by kind:
//
//   - Counted figures (teeth, cylinders, holes) and diametral pitches are exact.
//   - Nominal lengths (bore, stroke, rod, radii) and modules stand for
//     ±0.0005 in or ±0.005 mm; a length in whole millimetres for ±0.05 mm.
//   - All others were read or rounded and stand for half their last printed
//     place: 52 for ±½, 52.0 for ±0.05, 13/16 for ±1/32, 52° 30′ for ±½′.
//
// The word nil, and a dead centre without a number, stand for zero to half a
// degree, half a millimetre along a rim or half a thou of a gap.
//
// A tolerance or range in the print is the interval itself, its ends as
// printed; the value of a range is its middle. A limit ("435 psi minimum") has
// one open end, and the printed number is its value and other end. A figure
// marked as approximate stands for twice its ordinary width, or for one
// twentieth of itself either way where that is more (common practice, no
// source).
//
// A figure printed in two units is one print with two readings. The second is
// taken to be rounded from the first: for a nominal length it stands for half
// its last place where that is wider.
package figure
