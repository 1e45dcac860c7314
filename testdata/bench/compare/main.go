// Command compare lints many engine files cold, with every rule, and has three
// validators check the same files against the same JSON Schema and no more, turn
// and turn about, on one core and on all. It prints the median wall time of each,
// its greatest memory, and what the linter's time is of it: below 1 the linter
// is faster.
//
//	go run ./testdata/bench/compare -n 10000 -rounds 5
//
// It needs node with npm, and taskset.
package main

import (
	"flag"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"syscall"
	"time"
)

func main() {
	engines := flag.Int("n", 2000, "number of engine files")
	rounds := flag.Int("rounds", 7, "runs of each")
	flag.Parse()
	if err := compare(*engines, *rounds); err != nil {
		log.Fatal(err)
	}
}

// contender is a command and what its runs took.
type contender struct {
	name string
	args []string
	wall []time.Duration
	peak int64 // KiB
}

func compare(engines, rounds int) error {
	work, err := os.MkdirTemp("", "compare")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	all, err := contenders(work, engines)
	if err != nil {
		return err
	}
	fmt.Printf("%d engine files, median of %d runs\n", engines, rounds)
	for _, cores := range []int{1, runtime.NumCPU()} {
		for _, c := range all {
			c.wall, c.peak = nil, 0
		}
		for range rounds {
			for _, c := range all {
				if err := c.run(cores); err != nil {
					return err
				}
			}
		}
		fmt.Printf("\n%-44s %9s %9s %12s\n", fmt.Sprintf("on %d of %d cores", cores, runtime.NumCPU()), "ms", "peak MiB", "lint / this")
		for _, c := range all {
			fmt.Printf("%-44s %9d %9d %12.2f\n", c.name, c.median().Milliseconds(), c.peak/1024, float64(all[0].median())/float64(c.median()))
		}
	}
	return nil
}

// contenders builds and installs everything into a folder; the linter is the first.
func contenders(work string, engines int) ([]*contender, error) {
	here, err := filepath.Abs("testdata/bench")
	if err != nil {
		return nil, err
	}
	schemas, dataset := filepath.Join(here, "..", "..", "schema"), filepath.Join(work, "data")
	node := filepath.Join(work, "node")
	steps := [][]string{
		{"go", "build", "-o", filepath.Join(work, "fourmarks"), "./cmd/fourmarks"},
		{"go", "build", "-o", filepath.Join(work, "validate"), "./testdata/bench/validate"},
		{"go", "run", "./testdata/bench/many", "-n", fmt.Sprint(engines), "-out", dataset},
		{"mkdir", node},
		{"cp", filepath.Join(here, "compare", "package.json"), filepath.Join(here, "compare", "ajv.cjs"), node},
		{"npm", "install", "--silent", "--no-audit", "--no-fund", "--no-package-lock", "--prefix", node},
	}
	for _, step := range steps {
		if out, err := exec.Command(step[0], step[1:]...).CombinedOutput(); err != nil {
			return nil, fmt.Errorf("%v: %w\n%s", step, err, out)
		}
	}
	native, err := filepath.Glob(filepath.Join(node, "node_modules", "@sourcemeta", "jsonschema", "build", "**", "jsonschema-linux-x86_64"))
	if err != nil || len(native) == 0 {
		native = []string{filepath.Join(node, "node_modules", ".bin", "jsonschema")}
	}
	return []*contender{
		{name: "fourmarks lint, every rule", args: []string{filepath.Join(work, "fourmarks"), "lint", dataset}},
		{name: "ajv with js-yaml", args: []string{"node", filepath.Join(node, "ajv.cjs"), schemas, dataset}},
		{name: "@sourcemeta/jsonschema", args: []string{native[0], "validate", filepath.Join(schemas, "engine.schema.json"),
			"--resolve", filepath.Join(schemas, "source.schema.json"), "--fast", filepath.Join(dataset, "engines")}},
		{name: "santhosh-tekuri/jsonschema with yaml/v4", args: []string{filepath.Join(work, "validate"), schemas, dataset}},
	}, nil
}

// run runs the command on the first cores. That it finds something wrong is no
// error: the demo engines hold disputes on purpose.
func (c *contender) run(cores int) error {
	cmd := exec.Command("taskset", append([]string{"-c", fmt.Sprintf("0-%d", cores-1)}, c.args...)...)
	start := time.Now()
	out, err := cmd.CombinedOutput()
	c.wall = append(c.wall, time.Since(start))
	if err != nil && cmd.ProcessState.ExitCode() != 1 {
		return fmt.Errorf("%s: %w\n%.2000s", c.name, err, out)
	}
	if usage, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage); ok {
		c.peak = max(c.peak, usage.Maxrss)
	}
	return nil
}

func (c *contender) median() time.Duration {
	slices.Sort(c.wall)
	return c.wall[len(c.wall)/2]
}
