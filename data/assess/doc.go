// Package assess holds what was measured on an engine against its figures: how
// far each event is out, which explanations fit, and what to measure next.
//
// # What is compared
//
// Every event read is turned into crank degrees after top dead centre of its own
// cylinder, and so is the figure for it at the clearance that was set. Both are
// known within limits. As the Guide to the Expression of Uncertainty in
// Measurement has it for limits alone (JCGM 100:2008, 4.3.7), limits of ±a stand
// for a standard uncertainty of a/√3. A figure that several cylinders are held
// against is one figure: its error is common to them. Positions are compared
// within one turn of the crank, because nothing on a flywheel tells one turn from
// the next.
//
// # How explanations are fitted and compared
//
// Each cause predicts how far every reading must be out: not at all, by what one
// tooth is, by some angle that is to be found, by what a flank makes of another
// clearance. What is to be found is fitted by weighted least squares.
// A cause with more to find fits more readings, so it is not the misfit alone that
// ranks causes but the evidence: the likelihood averaged over what the cause
// allows, in Laplace's approximation (R. E. Kass and A. E. Raftery, "Bayes
// factors", Journal of the American Statistical Association 90, 1995, section
// 4.1; exact where the prediction is linear):
//
//	−2 ln evidence = χ² + θ'P⁻¹θ + ln det P + ln det(J'V⁻¹J + P⁻¹)
//
// with θ what was fitted, P the spread allowed for it beforehand, V the
// covariances of readings and figures, J the derivatives of the prediction. The
// spreads are common practice, no source: they are written beside each cause. A
// fault of no size is no fault, so the sizes allowed beforehand are not thickest
// at nothing: the density is weighed by the square of the size (the moment prior
// of V. E. Johnson and D. Rossell, "On the use of non-local prior densities",
// Journal of the Royal Statistical Society B 72, 2010), which multiplies the
// evidence by the mean square found over that allowed.
//
// # When it is decided
//
// The evidence of each explanation as a part of the evidence of all is its share.
// An explanation is given as the answer when its share is at least 95 % (a factor
// of 20, "strong" on Kass and Raftery's scale) and its misfit is not beyond what
// one set of readings in 500 shows by chance, and when no other explanation with
// no more to find fits as well: within a factor of 20 in the likelihood of readings
// and size. What is usual ranks explanations, and does not decide alone. Otherwise
// those that remain are named with the reading that would part them, and where
// nothing fits that is said.
//
// # Causes that events cannot part
//
// A tooth out at either mesh of a simple train, a dead-centre mark out and a
// flywheel refitted elsewhere move every event alike. They are one explanation,
// and its causes are its members. A member is named only when something other
// than an event parts it from the rest: the marks of the timing wheels, a positive
// stop read on both sides of top dead centre, a clearance felt again, the cylinder
// on the rock. A member whose own figure the events contradict, such as a tooth
// where half a tooth was found, is ruled out by them.
package assess
