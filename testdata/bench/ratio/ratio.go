// Package ratio times things against one another in one run, turn and turn
// about, so that whatever else the machine does bears on all alike.
package ratio

import (
	"fmt"
	"os/exec"
	"slices"
	"time"
)

// Contender is something that is timed. Before runs first and is not timed; it
// may be nil.
type Contender struct {
	Name          string
	Before, Timed func() error
}

// Compare times all contenders in turn and prints the medians of their times and
// of their ratios to the first.
func Compare(runs int, all []Contender) error {
	times := make([][]time.Duration, len(all))
	ratios := make([][]float64, len(all))
	for range runs {
		for i, c := range all {
			if c.Before != nil {
				if err := c.Before(); err != nil {
					return err
				}
			}
			started := time.Now()
			if err := c.Timed(); err != nil {
				return err
			}
			took := time.Since(started)
			times[i] = append(times[i], took)
			ratios[i] = append(ratios[i], float64(took)/float64(times[0][len(times[0])-1]))
		}
	}
	for i, c := range all {
		fmt.Printf("  %-44s %8.1f ms  %6.2f\n", c.Name, float64(median(times[i]).Microseconds())/1000, median(ratios[i]))
	}
	return nil
}

func median[T time.Duration | float64](all []T) T {
	slices.Sort(all)
	return all[len(all)/2]
}

// Command runs a program in a folder; what it writes is shown when it fails.
func Command(dir string, args ...string) error {
	cmd := exec.Command(args[0], args[1:]...)
	cmd.Dir = dir
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("%v: %w: %s", args, err, out)
	}
	return nil
}
