package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"fourmarks.example/data"
	"fourmarks.example/schema"
)

// workflow is what a code host reads of a workflow.
type workflow struct {
	Permissions map[string]string
	Jobs        map[string]struct {
		Permissions map[string]string
		Steps       []step
	}
}

type step struct {
	Name, Uses, Run, If string
	Env                 map[string]string
}

// sound is an engine with which nothing is wrong.
const sound = `format: 1
engine: marlowe/four
title: Marlowe Four
layout: {from: sheet, cycle: four-stroke, cylinders: 4}
events:
  checking:
    from: sheet
    read_at: 1 mm lift at valve
    inlet_opens: 3 BTDC
    inlet_closes: 48 ABDC
    inlet_duration: 231
sources:
  sheet:
    type: document
    title: Valve setting sheet
    issued: 1924
    grade: works
    rights: public domain
`

// The same engine with a slip, and in another order.
var (
	withSlip   = strings.Replace(sound, "231", "213", 1)
	outOfOrder = strings.Replace(sound, "format: 1\nengine: marlowe/four\n", "engine: marlowe/four\nformat: 1\n", 1)
)

// datasetRepository is a git repository with a dataset, and the program on its path.
type datasetRepository struct {
	t           *testing.T
	dir, folder string
	env         []string
}

// newDatasetRepository returns a repository with the demo dataset in a folder,
// the files that setup ci writes, and one engine, all committed.
func newDatasetRepository(t *testing.T, folder string) *datasetRepository {
	r := &datasetRepository{t: t, dir: t.TempDir(), folder: folder}
	temp := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(temp, "runner"), 0o755))
	r.env = append(os.Environ(), "RUNNER_TEMP="+filepath.Join(temp, "runner"), "GITHUB_PATH="+filepath.Join(temp, "runner", "path"),
		"GIT_CONFIG_GLOBAL=/dev/null", "GIT_CONFIG_SYSTEM=/dev/null", "GIT_AUTHOR_NAME=A keeper", "GIT_AUTHOR_EMAIL=keeper@fourmarks.example",
		"GIT_COMMITTER_NAME=A keeper", "GIT_COMMITTER_EMAIL=keeper@fourmarks.example")
	require.NoError(t, os.CopyFS(filepath.Join(r.dir, folder), data.Files))
	r.engine(sound)
	require.NoError(t, os.Symlink(root(t), filepath.Join(r.dir, ".fourmarks")))
	code, _, errs := call(context.Background(), "setup", "ci", "--data", folder, "--write", r.dir)
	require.Equal(t, exitFine, code, errs)
	r.shell(0, "git init -q -b main && echo /.fourmarks > .gitignore && git add -A && git commit -q -m start")
	self, err := os.Executable() // under this name the test program is the program
	require.NoError(t, err)
	require.NoError(t, os.Symlink(self, filepath.Join(temp, "fourmarks")))
	r.onPath(temp)
	return r
}

// onPath puts a folder first on the path.
func (r *datasetRepository) onPath(folder string) {
	r.env = append(r.env, "PATH="+folder+string(os.PathListSeparator)+os.Getenv("PATH"))
}

// engine writes the engine of the repository.
func (r *datasetRepository) engine(text string) {
	r.t.Helper()
	file := filepath.Join(r.dir, r.folder, "engines", "marlowe", "four.yaml")
	require.NoError(r.t, os.MkdirAll(filepath.Dir(file), 0o755))
	require.NoError(r.t, os.WriteFile(file, []byte(text), 0o644))
}

// shell runs a script as the workflow's shell does and requires an exit code.
func (r *datasetRepository) shell(code int, script string, env ...string) string {
	r.t.Helper()
	c := exec.Command("bash", "--noprofile", "--norc", "-eo", "pipefail", "-c", script)
	c.Dir, c.Env = r.dir, append(slices.Clone(r.env), env...)
	var out bytes.Buffer
	c.Stdout, c.Stderr = &out, &out
	err := c.Run()
	var failed *exec.ExitError
	if err != nil && !errors.As(err, &failed) {
		require.NoError(r.t, err)
	}
	assert.Equal(r.t, code, c.ProcessState.ExitCode(), "%s\n%s", script, out.String())
	return out.String()
}

func (r *datasetRepository) workflow() (w workflow) {
	r.t.Helper()
	text, err := os.ReadFile(filepath.Join(r.dir, ".github", "workflows", "fourmarks.yml"))
	require.NoError(r.t, err)
	require.NoError(r.t, yaml.Unmarshal(text, &w))
	return w
}

// step is the step of a name in the workflow.
func (r *datasetRepository) step(name string) step {
	r.t.Helper()
	for _, s := range r.workflow().Jobs["check"].Steps {
		if s.Name == name {
			return s
		}
	}
	require.Fail(r.t, "the workflow has no such step", name)
	return step{}
}

// The workflow's own lines are run: they pass a sound dataset, stop at a slip and
// at a file that is not in order.
func TestWorkflowChecks(t *testing.T) {
	for _, folder := range []string{"data", "."} {
		t.Run(folder, func(t *testing.T) {
			r := newDatasetRepository(t, folder)
			everything, changed := r.step("Check everything"), r.step("Check what the pull request changes")
			order, sarif := r.step("Check that files are in order"), r.step("Write the findings for code scanning")
			assert.Equal(t, "${{ github.event.pull_request.base.sha }}", changed.Env["BASE"])
			base := "BASE=" + strings.TrimSpace(r.shell(0, "git rev-parse HEAD"))

			r.shell(0, r.step("Build the program").Run)
			r.onPath(strings.TrimSpace(r.shell(0, `cat "$GITHUB_PATH"`)))
			assert.Contains(t, r.shell(0, "command -v fourmarks"), "runner")

			r.shell(0, everything.Run)
			assert.Contains(t, r.shell(0, changed.Run, base), "nothing to check has changed")
			r.shell(0, order.Run)
			r.shell(0, sarif.Run)

			r.engine(withSlip)
			const annotation = "::error file="
			assert.Contains(t, r.shell(1, everything.Run), annotation)
			assert.Contains(t, r.shell(1, changed.Run, base), annotation)
			r.shell(0, "git commit -q --no-verify -am slip")
			assert.Contains(t, r.shell(1, changed.Run, base), annotation)
			r.shell(0, order.Run)
			r.shell(0, sarif.Run)
			assert.Contains(t, r.shell(0, `cat "$RUNNER_TEMP/findings.sarif"`), `"ruleId": "events/inlet-duration"`)

			r.engine(outOfOrder)
			r.shell(0, everything.Run)
			assert.Contains(t, r.shell(1, order.Run), "marlowe/four.yaml")

			require.NoError(t, os.RemoveAll(filepath.Join(r.dir, folder, "engines")))
			require.NoError(t, os.RemoveAll(filepath.Join(r.dir, folder, "sources")))
			require.NoError(t, os.RemoveAll(filepath.Join(r.dir, folder, "moved.yaml")))
			r.shell(2, everything.Run) // a dataset that is not there is no sound one
			r.shell(2, order.Run)
			r.shell(1, sarif.Run)
		})
	}
}

// Every run line of the workflow is among those that are tested, none takes text
// from the code host but through a variable, everything used is pinned to a
// commit, and no job may write but to code scanning.
func TestWorkflowIsGuarded(t *testing.T) {
	r := newDatasetRepository(t, "data")
	w := r.workflow()
	assert.Empty(t, w.Permissions)
	assert.NotNil(t, w.Permissions, "permissions are not stated")
	var ran []string
	for name, job := range w.Jobs {
		for what, level := range job.Permissions {
			if name != "code-scanning" || what != "security-events" {
				assert.Equal(t, "read", level, "%s: %s", name, what)
			}
		}
		for _, s := range job.Steps {
			assert.NotContains(t, s.Run, "${{", s.Name)
			if s.Run != "" {
				ran = append(ran, s.Name)
			}
		}
	}
	assert.Equal(t, []string{"Build the program", "Check everything", "Check what the pull request changes",
		"Check that files are in order", "Write the findings for code scanning"}, ran)
	text, err := os.ReadFile(filepath.Join(r.dir, ".github", "workflows", "fourmarks.yml"))
	require.NoError(t, err)
	uses := regexp.MustCompile(`(?m)^ +uses: .*$`).FindAllString(string(text), -1)
	assert.Len(t, uses, 6)
	for _, line := range uses {
		assert.Regexp(t, `uses: [a-z-]+/[a-z/-]+@[0-9a-f]{40} # v\d+\.\d+\.\d+$`, line)
	}
}

// The hook looks at what is being committed, and at nothing when that is none of
// the dataset.
func TestHookBeforeACommit(t *testing.T) {
	for _, folder := range []string{"data", "."} {
		t.Run(folder, func(t *testing.T) {
			r := newDatasetRepository(t, folder)
			r.shell(0, "git config core.hooksPath .githooks")
			commit := func(code int, text string) string {
				t.Helper()
				r.engine(text)
				return r.shell(code, "git commit -q -am change")
			}
			commit(0, strings.Replace(sound, "title: Marlowe Four", "title: Marlowe Four, first series", 1))
			assert.Contains(t, commit(1, withSlip), "[events/inlet-duration]")
			assert.Contains(t, commit(1, outOfOrder), "marlowe/four.yaml")

			r.engine(sound)
			r.shell(0, "git add -A")
			r.engine(withSlip) // not to be committed
			r.shell(0, "git commit -q -m change")
			if folder != "." {
				r.shell(0, "echo text > notes.txt && git add notes.txt && git commit -q -m notes")
			}
			r.shell(1, "git commit -q -am slip")
			assert.NotContains(t, r.shell(0, "git log --format=%s"), "slip")

			r.shell(0, "rm -rf .git && git init -q && git config core.hooksPath .githooks && git add -A")
			r.shell(1, "git commit -q -m first")
			r.engine(sound)
			r.shell(0, "git add -A && git commit -q -m first")
		})
	}
}

// The entries for the pre-commit program, run as it runs them.
func TestPreCommitEntries(t *testing.T) {
	r := newDatasetRepository(t, "data")
	text, err := os.ReadFile(filepath.Join(r.dir, ".pre-commit-config.yaml"))
	require.NoError(t, err)
	var config struct {
		Repos []struct {
			Repo  string
			Hooks []struct {
				ID, Entry, Language string
				PassFilenames       bool `yaml:"pass_filenames"`
			}
		}
	}
	require.NoError(t, yaml.Unmarshal(text, &config))
	require.Len(t, config.Repos, 1)
	assert.Equal(t, "local", config.Repos[0].Repo)
	want := map[string]map[string]int{"fourmarks-lint": {sound: 0, withSlip: 1, outOfOrder: 0}, "fourmarks-tidy": {sound: 0, withSlip: 0, outOfOrder: 1}}
	require.Len(t, config.Repos[0].Hooks, len(want))
	for _, hook := range config.Repos[0].Hooks {
		assert.Equal(t, "system", hook.Language)
		assert.False(t, hook.PassFilenames)
		require.Contains(t, want, hook.ID)
		for engine, code := range want[hook.ID] {
			r.engine(engine)
			r.shell(code, hook.Entry)
		}
	}
}

// A folder goes into scripts as it is, so it must need no quotes there.
func TestFolderOfTheDatasetIsPlain(t *testing.T) {
	for folder, taken := range map[string]bool{
		"data": true, ".": true, "a/b-c": true, "data/": true, "./data": true, ".data": true,
		"": false, "..": false, "../data": false, "/data": false, "-rf": false, "a b": false, "a;b": false, "a/-b": false, "$(x)": false, "a\nb": false, "${{ x }}": false, "ä": false,
	} {
		_, err := kitFiles(folder, map[string]string{".githooks/pre-commit": "ci/pre-commit"})
		assert.Equal(t, taken, err == nil, "%q: %v", folder, err)
	}
}

// The schema written for editors stands by itself and says the same.
func TestBundledSchemaStandsAlone(t *testing.T) {
	text := bundledSchema()
	require.True(t, json.Valid(text))
	assert.NotContains(t, string(text), "source-1.json")
	compiler := jsonschema.NewCompiler()
	compiler.LoadURL = nil
	require.NoError(t, compiler.AddResource("engine.json", bytes.NewReader(text)))
	bundled, err := compiler.Compile("engine.json")
	require.NoError(t, err)
	for text, ok := range map[string]bool{sound: true, strings.Replace(sound, "grade: works", "grade: wroks", 1): false, strings.Replace(sound, "issued", "isued", 1): false} {
		var document any
		require.NoError(t, yaml.Unmarshal([]byte(text), &document))
		_, problems := schema.DecodeEngine(schema.ReadFile("engine.yaml", []byte(text)))
		assert.Equal(t, ok, len(problems) == 0)
		assert.Equal(t, ok, bundled.Validate(document) == nil)
	}
}
