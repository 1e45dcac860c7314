// Package release reads a release of the dataset: the folder that `fourmarks
// publish` writes, on disk, embedded or in an archive. It is what another
// program imports; it needs nothing but the standard library.
//
// The types here are the published format, which has a version of its own,
// apart from that of the files people write. Within a major version it only
// grows: a reader skips what it does not know. release.schema.json says the same
// as JSON Schema, and release.d.ts as TypeScript.
//
// # The value of a figure
//
// Each figure carries one value, chosen by one rule, in its own fields; a
// program that reads those alone never meets a value that was withdrawn or is
// in dispute:
//
//   - Of claims that stand and agree, the best is that of the strongest source
//     (works, maker, stamp, measured, press, later, recall, none), then the one
//     with the closest interval, then the first in the file.
//   - A figure whose standing claims contradict one another has no value. Its
//     claims are under Disputed.
//   - A claim that was set aside is under SetAside, with the reason, and has no
//     part in the value.
//   - A figure that nobody prints and that follows from others has the standing
//     "derived", names the relation, and has the middle of its interval as
//     value. None is derived for an engine whose figures contradict one another.
//
// # Numbers
//
// Value, Low and High are in the unit of the print: the printed number and the
// interval that the print justifies. They are exact where 15 significant digits
// suffice. Otherwise value is rounded to 15 digits, a tie to the even one, low
// down and high up, and Exact has all three as fractions. SI has the same in
// the working unit of the quantity, rounded in the same way from the fractions:
// SI units and units accepted for use with them (mm, cm³, kPa, kW, °, °C), and
// revolutions a minute. Derived numbers are rounded so to 10 digits.
package release
