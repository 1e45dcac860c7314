package gear

// Meeting says when a pair of marked teeth meets again.
type Meeting struct {
	First, Second int // turns of either wheel
	Teeth         int // tooth meetings in between
	Common        int // greatest common divisor of the teeth; 1: a hunting tooth, every tooth meets every other
}

// MeetAgain returns when a tooth of a wheel with z1 teeth meets the same tooth
// of its mate with z2 teeth again: after z2/gcd(z1, z2) turns of the first
// (Encyclopaedia Britannica, 11th ed., vol. 17, "Mechanics", equations 20 to
// 22). A chain is a wheel of as many teeth as it has pitches.
func MeetAgain(z1, z2 int) (Meeting, error) {
	if err := count("teeth of the first wheel", z1, maxTeeth); err != nil {
		return Meeting{}, err
	}
	if err := count("teeth of the second wheel", z2, maxTeeth); err != nil {
		return Meeting{}, err
	}
	common := gcd(z1, z2)
	return Meeting{First: z2 / common, Second: z1 / common, Teeth: lcm(z1, z2), Common: common}, nil
}
