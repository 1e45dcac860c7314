//go:build !js

package branch

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strings"

	"fourmarks.example/data/commits"
)

// What git is told of the driver.
const (
	driverName    = "fourmarks"
	driverTitle   = "figures, each with its source"
	driverProgram = "fourmarks"
	driverArgs    = "merge --driver -- %O %A %B %P %L"
)

// Setup is what makes git merge the files of a dataset by their figures, in git
// merge as in rebase, cherry-pick and revert.
type Setup struct {
	// Data is the folder of the dataset as seen from the top of the repository;
	// "." is the top itself.
	Data string
}

// Attributes are the lines for .gitattributes, which is committed: they name the
// driver for the files of the dataset.
func (s Setup) Attributes() []string {
	var all []string
	for _, within := range []string{"engines/**", "sources/**", "moved.yaml"} {
		all = append(all, path.Join(s.Data, within)+" merge="+driverName)
	}
	return all
}

// Config are the settings, key and value, that say what the driver is. git takes
// no programs from a repository that was fetched, so each clone is given them.
func (s Setup) Config() [][2]string {
	return [][2]string{
		{"merge." + driverName + ".name", driverTitle},
		{"merge." + driverName + ".driver", driverProgram + " " + driverArgs},
	}
}

// Check says what is missing or otherwise, one sentence each; nothing where git
// calls the driver for every file of the dataset.
func (s Setup) Check(ctx context.Context, r *commits.Repository) ([]string, error) {
	faults, err := s.unattributed(ctx, r)
	if err != nil {
		return nil, err
	}
	key := s.Config()[1][0]
	out, err := run(ctx, r, nil, "config", "--get", key)
	if errors.Is(err, errNoGit) || ctx.Err() != nil {
		return nil, err
	}
	is := strings.TrimSpace(string(out))
	program, args, _ := strings.Cut(is, " ")
	switch {
	case err != nil || is == "":
		return append(faults, fmt.Sprintf("git has no setting %s, so it merges by lines", key)), nil
	case args != driverArgs:
		return append(faults, fmt.Sprintf("the setting %s is %q, and not %q", key, is, s.Config()[1][1])), nil
	}
	if _, err := exec.LookPath(program); err != nil {
		faults = append(faults, fmt.Sprintf("the program %s, which the setting %s names, is not found", program, key))
	}
	return faults, nil
}

// unattributed names the files of the dataset that git would merge otherwise: of
// those that are there, and of such as could be.
func (s Setup) unattributed(ctx context.Context, r *commits.Repository) ([]string, error) {
	listed, err := run(ctx, r, nil, "ls-files", "-z", "--", path.Join(s.Data, "engines"), path.Join(s.Data, "sources"), path.Join(s.Data, "moved.yaml"))
	if err != nil {
		return nil, err
	}
	for _, likely := range []string{"engines/maker/model.yaml", "sources/id.yaml", "moved.yaml"} {
		listed = append(listed, path.Join(s.Data, likely)+"\x00"...)
	}
	out, err := run(ctx, r, listed, "check-attr", "-z", "--stdin", "merge")
	if err != nil {
		return nil, err
	}
	var faults []string
	named := map[string]bool{}
	fields := bytes.Split(bytes.TrimSuffix(out, []byte{0}), []byte{0})
	for ; len(fields) >= 3; fields = fields[3:] {
		name, value := string(fields[0]), string(fields[2])
		if value != driverName && !named[name] {
			named[name] = true
			faults = append(faults, fmt.Sprintf("%s: its attribute merge is %s, and not %s", name, value, driverName))
		}
	}
	return faults, nil
}

// Write adds what is missing to .gitattributes and to the settings of the
// repository, and says what it did.
func (s Setup) Write(ctx context.Context, r *commits.Repository) ([]string, error) {
	if r.IsBare() {
		return nil, fmt.Errorf("the repository of %s has no work tree, and attributes are committed in one", r.Top())
	}
	if err := r.Writable(); err != nil {
		return nil, err
	}
	var did []string
	file := filepath.Join(r.Top(), ".gitattributes")
	before, err := os.ReadFile(file)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return nil, err
	}
	after := before
	for _, line := range s.Attributes() {
		if containsLine(after, line) {
			continue
		}
		if len(after) > 0 && !bytes.HasSuffix(after, []byte("\n")) {
			after = append(after, '\n')
		}
		after = append(after, line+"\n"...)
		did = append(did, ".gitattributes: "+line)
	}
	if len(did) > 0 {
		if err := replace(file, after, 0o644); err != nil {
			return nil, err
		}
	}
	for _, c := range s.Config() {
		if is, err := run(ctx, r, nil, "config", "--local", "--get", c[0]); err == nil && strings.TrimSpace(string(is)) == c[1] {
			continue
		}
		if _, err := run(ctx, r, nil, "config", "--local", c[0], c[1]); err != nil {
			return did, err
		}
		did = append(did, c[0]+" = "+c[1])
	}
	return did, nil
}

func containsLine(text []byte, line string) bool {
	for l := range bytes.Lines(text) {
		if string(bytes.TrimSpace(l)) == line {
			return true
		}
	}
	return false
}
