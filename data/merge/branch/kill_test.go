//go:build unix

package branch_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/commits/gittest"
)

// mergeOne builds a program that merges and can be told where to end.
func mergeOne(t *testing.T) string {
	t.Helper()
	program := filepath.Join(t.TempDir(), "mergeone")
	out, err := exec.Command("go", "build", "-tags", "kill", "-o", program, "./testdata/mergeone").CombinedOutput()
	require.NoError(t, err, string(out))
	return program
}

func runAt(program, step string, w *gittest.Work) (string, error) {
	cmd := exec.Command(program, w.Dir, "theirs")
	cmd.Env = append(os.Environ(), "KILL_AT="+step, "GIT_CONFIG_GLOBAL="+os.DevNull)
	out, err := cmd.CombinedOutput()
	return string(out), err
}

// wasKilled reports whether a program ended by the signal that nothing can catch.
func wasKilled(err error) bool {
	failed, ok := err.(*exec.ExitError)
	if !ok {
		return false
	}
	status, ok := failed.Sys().(syscall.WaitStatus)
	return ok && status.Signaled() && status.Signal() == syscall.SIGKILL
}

// Cut short at any write, a merge leaves the repository as it was or as it is to
// be, or so that git merge --abort brings it back; and run again it goes through.
func TestAMergeCutShortAtEveryStep(t *testing.T) {
	program := mergeOne(t)
	for name, make := range map[string]func() *gittest.Work{
		"a merge": func() *gittest.Work {
			return parted(t, files{at: four, "b": text}, files{at: with("3 BTDC", "4 BTDC"), "b": text, "c": "c"}, files{at: with("48 ABDC", "49 ABDC"), "b": edited("one", "1"), "d/n": "n"})
		},
		"conflicts laid out": func() *gittest.Work {
			return parted(t, files{at: four, "b": text, "e": "e"}, files{at: with("48 ABDC", "50 ABDC"), "b": text, "c": "c", "e": "E"},
				files{at: with("48 ABDC", "49 ABDC"), "b": edited("one", "1"), "d/n": "n"})
		},
	} {
		t.Run(name, func(t *testing.T) {
			whole := make()
			listed, err := runAt(program, "nowhere", whole)
			require.NoError(t, err, listed)
			after := outcome(whole)
			steps := strings.Split(strings.TrimSpace(listed), "\n")
			require.Greater(t, len(steps), 4)
			for _, step := range steps {
				w := make()
				before, was := w.State(), outcome(w)
				out, err := runAt(program, step, w)
				require.True(t, wasKilled(err), "%s: %v %s", step, err, out)
				w.Sound()
				if _, err := w.Try(nil, "rev-parse", "-q", "--verify", "MERGE_HEAD"); err == nil {
					_, err := w.Try(nil, "commit", "-q", "--no-edit")
					assert.Error(t, err, "%s: nothing half done is committed", step)
					w.Git("merge", "--abort")
					assert.Equal(t, before, w.State(), step)
				} else if is := outcome(w); is != after {
					assert.Equal(t, was, is, step)
				}
				_, err = runAt(program, "", w)
				assert.NoError(t, err, "%s: again", step)
				assert.Equal(t, after, outcome(w), step)
			}
		})
	}
}

// outcome is what the work tree, the index and the tree checked out hold,
// whatever the commits are called.
func outcome(w *gittest.Work) string {
	tree := w.Git("rev-parse", "HEAD^{tree}") + "\n" + w.Git("ls-files", "--stage") + "\n" + w.Git("status", "--porcelain") + "\n"
	for _, name := range strings.Fields(w.Git("ls-files")) {
		tree += name + " " + w.Read(name) + "\n"
	}
	return tree
}

// Where nothing can be written any more, the repository stays as it was.
func TestADiskThatIsFull(t *testing.T) {
	program := mergeOne(t)
	w := parted(t, files{at: four}, files{at: with("3 BTDC", "4 BTDC")}, files{at: with("48 ABDC", "49 ABDC"), "n": "n"})
	before := w.State()
	out, err := exec.Command("sh", "-c", `ulimit -f 0; trap "" XFSZ; exec "$0" "$@"`, program, w.Dir, "theirs").CombinedOutput()
	require.Error(t, err)
	assert.Contains(t, string(out), "nothing can be stored in the repository of "+w.Dir)
	assert.Equal(t, before, w.State())
	w.Sound()
	out, err = exec.Command(program, w.Dir, "theirs").CombinedOutput()
	require.NoError(t, err, string(out))
	w.Sound()
}

// Where the repository may not be written to, it says so.
func TestARepositoryThatMayOnlyBeRead(t *testing.T) {
	program := mergeOne(t)
	w := parted(t, files{at: four}, files{at: with("3 BTDC", "4 BTDC")}, files{at: with("48 ABDC", "49 ABDC")})
	before := w.State()
	for _, dir := range []string{filepath.Dir(w.Dir), filepath.Dir(filepath.Dir(program)), filepath.Dir(program)} {
		require.NoError(t, os.Chmod(dir, 0o755))
	}
	cmd := exec.Command(program, w.Dir, "theirs")
	cmd.Env = append(os.Environ(), "GIT_CONFIG_COUNT=1", "GIT_CONFIG_KEY_0=safe.directory", "GIT_CONFIG_VALUE_0=*")
	w.Git("config", "core.fileMode", "false")
	exec.Command("chmod", "-R", "a+rX,a-w", w.Dir).Run()
	t.Cleanup(func() { exec.Command("chmod", "-R", "u+w", w.Dir).Run() })
	if os.Geteuid() == 0 { // whom permissions do not stop
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
	}
	out, err := cmd.CombinedOutput()
	require.Error(t, err)
	assert.Contains(t, string(out), "nothing can be stored in the repository of "+w.Dir)
	assert.Contains(t, string(out), "permission denied")
	assert.Equal(t, before, w.State())
}
