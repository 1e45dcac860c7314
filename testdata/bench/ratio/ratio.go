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
// of their ratios to the first: by the clock, and by how long processors were
// busy, which says more where other programs are at work too.
func Compare(runs int, all []Contender) error {
	clock, busy := make([]column, len(all)), make([]column, len(all))
	for range runs {
		for i, c := range all {
			if c.Before != nil {
				if err := c.Before(); err != nil {
					return err
				}
			}
			before, started := processor(), time.Now()
			if err := c.Timed(); err != nil {
				return err
			}
			clock[i].add(time.Since(started), clock[0])
			busy[i].add(processor()-before, busy[0])
		}
	}
	fmt.Printf("  %-44s %18s %20s\n", "", "clock", "processors")
	for i, c := range all {
		fmt.Printf("  %-44s %9.1f ms  %6.2f %9.1f ms  %6.2f\n", c.Name, clock[i].milliseconds(), median(clock[i].ratios), busy[i].milliseconds(), median(busy[i].ratios))
	}
	return nil
}

// column is what one contender took, run by run.
type column struct {
	times  []time.Duration
	ratios []float64
}

// add notes a time and its ratio to that of the first contender in the same run.
func (c *column) add(t time.Duration, first column) {
	c.times = append(c.times, t)
	if len(first.times) < len(c.times) { // it is the first itself
		first = *c
	}
	c.ratios = append(c.ratios, float64(t)/float64(max(1, first.times[len(first.times)-1])))
}

func (c *column) milliseconds() float64 { return float64(median(c.times).Microseconds()) / 1000 }

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
