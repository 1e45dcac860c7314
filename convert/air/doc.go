// Package air computes with what an engine breathes and what it makes of it: the
// standard atmosphere, compression ratios, cranking pressure, manifold vacuum,
// swept volume, taxable horsepower and piston speed; and how clearances change
// with heat.
//
// Pressures are in pascals and absolute unless called gauge, altitudes in metres,
// temperatures in kelvins. Lengths and volumes may be in any unit, one throughout
// a call, except where a formula names its own. Functions whose name ends in
// Interval take and return intervals; their result holds that of every choice of
// members.
package air
