package run_test

import (
	"context"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fourmarks.example/data"
	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
)

// mechanics names the rules that compute with cranks, cams, gears or air rather
// than with sums of what is printed.
var mechanics = []string{
	"events/notations", "events/two-clearances", "events/flank-speed", "events/cam-profile", "events/full-lift", "events/profile-impossible", "events/cylinders",
	"clearances/base-circle", "clearances/fully-open", "clearances/sum-rule", "clearances/expansion",
	"drives/helix", "drives/sliding-home", "drives/crossed-shafts", "drives/chain", "drives/marks-meet", "drives/coupling", "drives/keyways", "drives/backlash", "drives/rotation",
	"marks/rim-distance", "marks/straight-rule", "marks/ring-teeth", "marks/stamp-order", "marks/stamp-cylinder",
	"ignition/notations", "checks/cranking-pressure", "checks/vacuum", "order/throws", "order/intervals", "order/companions",
}

// demo returns the demo dataset with its engines copied to any number.
func demo(tb testing.TB, engines int) []lint.Input {
	tb.Helper()
	var inputs []lint.Input
	add := func(kind lint.InputKind, name, id, text string) {
		inputs = append(inputs, lint.Input{Kind: kind, Name: name, ID: id, Read: func() ([]byte, error) { return []byte(text), nil }})
	}
	read := func(name string) string {
		b, err := fs.ReadFile(data.Files, name)
		require.NoError(tb, err)
		return string(b)
	}
	sources, err := fs.Glob(data.Files, "sources/*.yaml")
	require.NoError(tb, err)
	for _, name := range sources {
		add(lint.SourceFile, name, strings.TrimSuffix(strings.TrimPrefix(name, "sources/"), ".yaml"), read(name))
	}
	files, err := fs.Glob(data.Files, "engines/*/*.yaml")
	require.NoError(tb, err)
	for i := range engines {
		name := files[i%len(files)]
		id := strings.TrimSuffix(strings.TrimPrefix(name, "engines/"), ".yaml")
		copied := fmt.Sprintf("%s-%d", id, i)
		text := strings.Replace(read(name), "engine: "+id+"\n", "engine: "+copied+"\n", 1)
		text = strings.Replace(text, "\ntitle: ", fmt.Sprintf("\ntitle: Copy %d of ", i), 1)
		add(lint.EngineFile, "engines/"+copied+".yaml", copied, text)
	}
	return inputs
}

// The rules named here exist.
func TestMechanicsRulesAreRules(t *testing.T) {
	for _, name := range mechanics {
		require.True(t, slices.ContainsFunc(rules.All(), func(r *lint.Rule) bool { return r.Name == name }), name)
	}
}

// processorTime is what this process has used on all cores: on a machine that
// others use too it tells more than a clock.
func processorTime(b *testing.B) time.Duration {
	b.Helper()
	var u syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkMechanics lints 2,000 engines with and without the rules that need
// mechanics, turn and turn about, and reports the ratio of the two processor times.
//
//	go test ./lint/run -run xxx -bench Mechanics -benchtime 5x
func BenchmarkMechanics(b *testing.B) {
	inputs := demo(b, 2000)
	all := rules.All()
	without := slices.DeleteFunc(slices.Clone(all), func(r *lint.Rule) bool { return slices.Contains(mechanics, r.Name) })
	timed := func(rules []*lint.Rule) time.Duration {
		start := processorTime(b)
		_, err := run.Lint(context.Background(), inputs, run.Options{Rules: rules})
		require.NoError(b, err)
		return processorTime(b) - start
	}
	var with, alone time.Duration
	for b.Loop() {
		alone += timed(without)
		with += timed(all)
	}
	b.ReportMetric(float64(with)/float64(alone), "with/without")
}
