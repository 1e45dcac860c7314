package main

import (
	"bytes"
	"context"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"regexp"
	"slices"
	"strings"

	"fourmarks.example/schema"
)

// kit holds the files that setup writes. {data} in them is the folder of the
// dataset, {below} what the names of files in it begin with.
//
//go:embed kit
var kit embed.FS

// kitFile is a file that setup writes.
type kitFile struct {
	name string
	text []byte
	// long is a text that is named rather than shown.
	long bool
}

// mode lets a script be run.
func (f kitFile) mode() fs.FileMode {
	if bytes.HasPrefix(f.text, []byte("#!")) {
		return 0o755
	}
	return 0o644
}

// plainFolder is a name that needs no quotes in a shell or in YAML, and that no
// program takes for a flag.
var plainFolder = regexp.MustCompile(`^[A-Za-z0-9_.][A-Za-z0-9_.-]*(/[A-Za-z0-9_.][A-Za-z0-9_.-]*)*$`)

// kitFiles returns files of the kit for a dataset in a folder, sorted by name.
// from says from which file of the kit each is made.
func kitFiles(folder string, from map[string]string) ([]kitFile, error) {
	given := folder
	folder = path.Clean(folder)
	if given == "" || !plainFolder.MatchString(folder) || strings.HasPrefix(folder, "..") {
		return nil, badFolder(given)
	}
	below := folder + "/"
	if folder == "." {
		below = ""
	}
	fill := strings.NewReplacer("{data}", folder, "{below}", below)
	var files []kitFile
	for _, name := range slices.Sorted(maps.Keys(from)) {
		text, err := kit.ReadFile("kit/" + from[name])
		if err != nil {
			return nil, err
		}
		files = append(files, kitFile{name: name, text: []byte(fill.Replace(string(text)))})
	}
	return files, nil
}

func badFolder(given string) error {
	return fmt.Errorf("--data %q: give a folder in the repository, as seen from its top and named with letters, digits, dots, dashes and underscores; . is the top itself", given)
}

// bundledSchema is the JSON Schema of engine files with that of sources set in
// where it refers to it: an editor has no address to fetch it from.
func bundledSchema() []byte {
	const source = `"https://fourmarks.example/schema/source-1.json"`
	_, body, _ := bytes.Cut(schema.SourceSchema(), []byte(`"$id": `+source+","))
	body = bytes.TrimSuffix(bytes.TrimSpace(body), []byte("}"))
	return bytes.Replace(schema.EngineSchema(), []byte(`"$ref": `+source), bytes.TrimSpace(body), 1)
}

// differing is a file that is there with another text.
type differing struct {
	kitFile
	is []byte
}

// compare says which files a folder lacks and which are there with another text.
// How lines end does not count.
func compare(dir *os.Root, files []kitFile) (missing []kitFile, different []differing, err error) {
	for _, f := range files {
		is, err := dir.ReadFile(f.name)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			missing = append(missing, f)
		case err != nil:
			return nil, nil, fmt.Errorf("%s: %w", f.name, plainCause(err))
		case !bytes.Equal(bytes.ReplaceAll(is, []byte("\r\n"), []byte("\n")), f.text):
			different = append(different, differing{f, is})
		}
	}
	return missing, different, nil
}

// create writes files that are not there, all or none. A cancelled context
// leaves everything as it was, but for folders.
func create(ctx context.Context, dir *os.Root, files []kitFile) (err error) {
	var made []string
	defer func() {
		if err == nil {
			return
		}
		for _, name := range made {
			err = errors.Join(err, dir.Remove(name))
		}
	}()
	for _, f := range files {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := dir.MkdirAll(path.Dir(f.name), 0o755); err != nil {
			return fmt.Errorf("%s: %w", path.Dir(f.name), plainCause(err))
		}
		file, err := dir.OpenFile(f.name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, f.mode())
		if err != nil {
			return fmt.Errorf("%s: %w", f.name, plainCause(err))
		}
		made = append(made, f.name)
		_, err = file.Write(f.text)
		if err := errors.Join(err, file.Close()); err != nil {
			return fmt.Errorf("%s: %w", f.name, plainCause(err))
		}
	}
	return nil
}

// plainCause is what went wrong with a file, without the name of the call.
func plainCause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}
