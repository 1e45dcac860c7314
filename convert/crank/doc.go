// Package crank computes with crank angles: events on the four-stroke circle,
// piston travel, distances along a flywheel rim, and which cylinder does what
// at a crank position. It holds plain numbers and small structs, no engines.
//
// # The circle
//
// Angles are crankshaft degrees. One four-stroke cycle is a circle of 720°, and
// every cylinder has its own:
//
//	  0   firing TDC, the end of compression (the same point as 720)
//	180   BDC, the end of the power stroke
//	360   overlap TDC, where the exhaust stroke ends and induction begins
//	540   BDC, the end of induction
//
// ZERO IS FIRING TDC, not overlap TDC. The four events then come in ascending
// order without passing zero: exhaust opens (near 180), inlet opens (before
// 360), exhaust closes (after 360), inlet closes (near 540). An angle on the
// circle lies in [0, 720).
//
// The position of the engine is the angle of No. 1 on its own circle. Cylinder
// k stands at position − (the angle at which k fires after No. 1).
//
// # Degrees as printed
//
// A print counts degrees from a dead centre: BTDC, ATDC, BBDC or ABDC. Such a
// figure is read together with what happens there (an Event), because there are
// two top and two bottom dead centres on the circle.
//
// # Rounding
//
// The functions on float64 are accurate to a few units in the last place unless
// they state a bound. Types whose name ends in Interval take every input as an
// interval and return one that holds the result for every choice of members.
package crank
