package assess

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// degrees prints an angle to a tenth, where that is enough for the bench.
func degrees(deg float64) string { return decimals(deg, 1) + "°" }

// decimals prints a number with at most so many decimals, without trailing noughts.
func decimals(x float64, most int) string {
	text := strconv.FormatFloat(x, 'f', most, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		return "0"
	}
	return text
}

// late says an angle as late or early.
func late(deg float64) string {
	switch {
	case degrees(deg) == "0°":
		return "on time"
	case deg < 0:
		return degrees(-deg) + " early"
	}
	return degrees(deg) + " late"
}

// left says what an angle leaves.
func left(deg float64) string {
	if degrees(deg) == "0°" {
		return "nothing"
	}
	return late(deg)
}

// within says an angle as late or early with its uncertainty, twice the standard
// one.
func within(deg, sigma float64) string {
	if degrees(deg) == "0°" {
		return fmt.Sprintf("on time ± %s", degrees(2*sigma))
	}
	word := "late"
	if deg < 0 {
		word = "early"
	}
	return plusMinus(math.Abs(deg), sigma) + " " + word
}

// plusMinus says an angle with its uncertainty, twice the standard one.
func plusMinus(deg, sigma float64) string { return degrees(deg) + " ± " + degrees(2*sigma) }

// percent prints a share.
func percent(share float64) string {
	switch {
	case share > 0.999:
		return "over 99.9 %"
	case share < 0.001:
		return "under 0.1 %"
	}
	return decimals(100*share, 1) + " %"
}

func plural(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}

// listed joins words as a sentence does: a, b or c.
func listed(words []string, last string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " " + last + " " + words[len(words)-1]
}
