// Package notation turns a setting figure from the notation it is printed in
// into any other, and shows the working.
//
// A figure is read by [Read] (or taken from a file with [Of]), the notations
// wanted by [Figure.Wanted], and [Figure.Convert] works them out with the
// [Dimensions] of the engine. Every result carries the interval that the prints
// justify, the digits that the interval justifies, and the steps that a person
// can repeat with a pencil and a table of sines.
//
// # How a crank position is counted
//
// A position is counted from a dead centre: BTDC, ATDC, BBDC, ABDC. Where its
// interval reaches over the dead centre, its low end is negative and lies on the
// other side. Rim distances, teeth and piston travel are counted from the same
// dead centre and have the same sign, so that each conversion rises with the
// angle and can be undone.
//
// With a cylinder offset the dead centres of the piston are not those of the
// crank. [Dimensions] says which of them degrees are counted from; piston travel
// is always from the piston's.
//
// # Exactness
//
// Units, teeth, camshaft degrees, minutes and the four datums convert in exact
// rational arithmetic. What needs π or a linkage is rounded outward, so that
// the interval holds every value that the prints allow.
//
// What lives here: notations, their steps and their print. What does not: which
// figure of an engine file gives a dimension, and how results are laid out (cmd).
package notation
