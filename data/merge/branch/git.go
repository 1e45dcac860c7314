//go:build !js

package branch

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"

	"fourmarks.example/data/commits"
)

// errNoGit says what cannot be done without the git program.
var errNoGit = errors.New("the git program is not installed, so nothing can be stored or moved; a dry run shows what the merge comes to")

// run runs git on a repository and returns what it wrote. What it refuses is an
// error in its own words. Settings that an enclosing git command left in the
// environment would lead it to another repository, so they are taken out.
func run(ctx context.Context, r *commits.Repository, in []byte, args ...string) ([]byte, error) {
	program, err := exec.LookPath("git")
	if err != nil {
		return nil, errNoGit
	}
	cmd := exec.CommandContext(ctx, program, args...)
	cmd.Dir, cmd.Stdin = r.Top(), bytes.NewReader(in)
	cmd.Env = append(slices.DeleteFunc(os.Environ(), isLocal), "LC_ALL=C", "GIT_LITERAL_PATHSPECS=1")
	var out, said bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &said
	if err := cmd.Run(); err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, fmt.Errorf("git says: %s", plainly(said.String()+out.String(), err))
	}
	return out.Bytes(), nil
}

// isLocal reports whether a variable of the environment is about one repository.
func isLocal(variable string) bool {
	name, _, _ := strings.Cut(variable, "=")
	switch name {
	case "GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_COMMON_DIR", "GIT_OBJECT_DIRECTORY",
		"GIT_ALTERNATE_OBJECT_DIRECTORIES", "GIT_PREFIX", "GIT_NAMESPACE", "GIT_SHALLOW_FILE", "GIT_GRAFT_FILE",
		"GIT_REPLACE_REF_BASE", "GIT_NO_REPLACE_OBJECTS", "GIT_LITERAL_PATHSPECS", "GIT_REFLOG_ACTION", "LC_ALL":
		return true
	}
	return false
}

// plainly puts what git said into one line.
func plainly(said string, err error) string {
	var words []string
	for line := range strings.Lines(said) {
		line = strings.TrimSpace(line)
		line = strings.TrimPrefix(strings.TrimPrefix(strings.TrimPrefix(line, "error: "), "fatal: "), "hint: ")
		if line != "" && line != "Aborting" {
			words = append(words, line)
		}
	}
	if len(words) == 0 {
		return err.Error()
	}
	return strings.Join(words, " ")
}
