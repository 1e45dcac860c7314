// Package convert turns a value from one unit into another, exactly.
//
// Every factor is a rational number, so a conversion there and back gives the
// same value to the last digit. What lives here: the units that engine figures
// are printed in, the spellings that print uses, conversion of values and
// intervals, and printing a converted value with the digits its interval
// justifies. What does not: reading a whole printed figure (schema/figure),
// and anything about engines (convert/crank and above).
//
// Each dimension has one working unit, [Dimension.Base], in which the rest of
// the project computes: degrees, millimetres, cubic centimetres, kilopascals,
// kilowatts, revolutions a minute, metres a second, degrees Celsius. The radian
// is left out: its factor to the degree is not rational.
package convert
