package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/go-git/go-git/v5"
	"github.com/go-git/go-git/v5/plumbing/object"
	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/assert"

	"fourmarks.example/lint/rules"
)

var update = flag.Bool("update", false, "write the expected output in the scripts anew")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"fourmarks": main})
}

// The scripts of testdata/script show what the program does, command by command.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "../../testdata/script",
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("RULES", strconv.Itoa(len(rules.All()))) // for cmpenv
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits":  exits,
			"append": appendRepeated,
			"mode":   mode,
			"commit": commit,
		},
		Condition: func(name string) (bool, error) {
			if name == "root" {
				return os.Geteuid() == 0, nil
			}
			return false, errors.New("no such condition")
		},
	})
}

// exits runs a command and requires an exit code: exits 1 fourmarks lint.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND [ARG…]")
	}
	code := 0
	err := ts.Exec(args[1], args[2:]...)
	var failed *exec.ExitError
	if errors.As(err, &failed) {
		code = failed.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if strconv.Itoa(code) != args[0] {
		ts.Fatalf("exit code %d, not %s", code, args[0])
	}
}

// appendRepeated appends a text, with the escapes of a Go string, so many times
// to a file: append 3 '\n' file.
func appendRepeated(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: append TIMES TEXT FILE")
	}
	times, err := strconv.Atoi(args[0])
	ts.Check(err)
	text, err := strconv.Unquote(`"` + args[1] + `"`)
	ts.Check(err)
	file := ts.MkAbs(args[2])
	ts.Check(os.MkdirAll(filepath.Dir(file), 0o755))
	f, err := os.OpenFile(file, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o644)
	ts.Check(err)
	_, err = f.WriteString(strings.Repeat(text, times))
	ts.Check(errors.Join(err, f.Close()))
}

// commit stores the files of the script's folder in a git repository there, and
// the start of the commit's hash in a variable if one is named: commit FIRST.
func commit(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) > 1 {
		ts.Fatalf("usage: commit [VARIABLE]")
	}
	dir := ts.MkAbs(".")
	r, err := git.PlainOpen(dir)
	if errors.Is(err, git.ErrRepositoryNotExists) {
		r, err = git.PlainInit(dir, false)
	}
	ts.Check(err)
	w, err := r.Worktree()
	ts.Check(err)
	ts.Check(w.AddWithOptions(&git.AddOptions{All: true}))
	h, err := w.Commit("a change", &git.CommitOptions{Author: &object.Signature{Name: "A keeper", Email: "keeper@fourmarks.example", When: time.Unix(1_700_000_000, 0)}})
	ts.Check(err)
	for _, name := range args {
		ts.Setenv(name, h.String()[:10])
	}
}

// mode requires the permissions of a file: mode 640 file.
func mode(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: mode PERMISSIONS FILE")
	}
	info, err := os.Stat(ts.MkAbs(args[1]))
	ts.Check(err)
	if got := strconv.FormatInt(int64(info.Mode().Perm()), 8); got != args[0] {
		ts.Fatalf("permissions %s, not %s", got, args[0])
	}
}

// call runs the program in this process, away from any terminal.
func call(ctx context.Context, args ...string) (code int, out, errs string) {
	var o, e bytes.Buffer
	code = Run(ctx, args, Streams{In: strings.NewReader(""), Out: &o, Err: &e}, func(string) string { return "" })
	return code, o.String(), e.String()
}

func TestAnInterruptLeavesEverythingAsItWas(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	dir := t.TempDir()
	file := dir + "/engine.yaml"
	untidy := []byte("title: T\nformat: 1\nengine: a/b\n")
	if err := os.WriteFile(file, untidy, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"tidy", file}, {"lint", file}, {"lint", "--fix", file}, {"lint", "--fix", "--dry-run", file}, {"find", "light"}, {"show", "light"}, {"setup", "ci", "--write", dir}, {"publish", filepath.Join(dir, "release")}, {"settle", "a/b", "bore", "--keep", "x", "--because", "y", "--data", dir}} {
		code, out, errs := call(ctx, args...)
		assert.Equal(t, exitFailed, code, args)
		assert.Empty(t, out, args)
		assert.Contains(t, errs, "stopped; nothing was changed", args)
	}
	now, err := os.ReadFile(file)
	assert.NoError(t, err)
	assert.Equal(t, untidy, now)
	left, err := os.ReadDir(dir)
	assert.NoError(t, err)
	assert.Len(t, left, 1, "no temporary file is left")
}

// broken is a stream that takes nothing, as a closed pipe.
type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }

func TestOutputThatCannotBeWrittenIsAFailure(t *testing.T) {
	for _, args := range [][]string{{}, {"lint"}, {"lint", "--json"}, {"lint", "--sarif"}, {"lint", "--junit"}, {"lint", "--ci"}, {"explain"}, {"explain", "--all"}, {"setup", "ci"}, {"find", "a"}, {"show", "penhallow/light-six"}} {
		code := Run(context.Background(), args, Streams{In: strings.NewReader(""), Out: broken{}, Err: io.Discard}, func(string) string { return "" })
		assert.Equal(t, exitFailed, code, args)
	}
}

func TestWidthFollowsTheVariableColumns(t *testing.T) {
	for columns, want := range map[string]int{"": 80, "120": 120, "0": 80, "wide": 80} {
		p := &program{Streams: Streams{Out: io.Discard}, env: func(string) string { return columns }}
		assert.Equal(t, want, p.width(), columns)
		assert.False(t, p.colour(), "no colour away from a terminal")
	}
}
