// Package store opens a dataset: a folder of engine and source files, one file,
// or the dataset embedded in the program. It finds the files and says what each
// is; reading and judging them is left to others.
//
// A dataset is a folder with engines/<maker>/<model>.yaml, sources/<id>.yaml and
// moved.yaml. Within it an engine's id follows from its path.
package store

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"fourmarks.example/data"
	"fourmarks.example/lint"
)

// Embedded is what the embedded dataset is called in findings.
const Embedded = "embedded"

// readLimit bounds what is read of one file, one byte beyond what the format
// allows, so that the reader can say that it is too long.
const readLimit = 1<<20 + 1

// OpenEmbedded returns the files of the dataset embedded in the program.
func OpenEmbedded() ([]lint.Input, error) {
	return walk(data.Files, ".", Embedded, nil)
}

// Open returns the files at the paths, each a file or a folder, and with them,
// marked as context, the other source records and engines of the datasets they
// belong to. Names are the paths as given.
func Open(paths ...string) ([]lint.Input, error) {
	var all []lint.Input
	roots := map[string]bool{}
	for _, p := range paths {
		inputs, root, err := open(p)
		if err != nil {
			return nil, err
		}
		all = append(all, inputs...)
		if root != "" {
			roots[root] = true
		}
	}
	have := map[string]bool{}
	for _, in := range all {
		have[absolute(in.Name)] = true
	}
	for root := range roots {
		for _, list := range []func(string) ([]lint.Input, error){Sources, Engines} {
			context, err := list(root)
			if err != nil {
				return nil, err
			}
			for _, in := range context {
				if !have[absolute(in.Name)] {
					all = append(all, in)
				}
			}
		}
	}
	slices.SortFunc(all, func(a, b lint.Input) int { return strings.Compare(a.Name, b.Name) })
	return slices.CompactFunc(all, func(a, b lint.Input) bool { return a.Name == b.Name }), nil
}

func absolute(name string) string {
	if abs, err := filepath.Abs(filepath.FromSlash(name)); err == nil {
		return abs
	}
	return name
}

// open returns the files at one path, and the root of the dataset it is in, or "".
func open(p string) ([]lint.Input, string, error) {
	info, err := os.Stat(p)
	if err != nil {
		return nil, "", missing(p, err)
	}
	root := rootOf(p, info.IsDir())
	if !info.IsDir() {
		in := lint.Input{Name: filepath.ToSlash(p), Read: func() ([]byte, error) { return readFile(p) }}
		if rel, err := filepath.Rel(root, absolute(p)); err == nil && root != "" {
			in.Kind, in.ID = lint.KindOf(filepath.ToSlash(rel))
		}
		return []lint.Input{in}, root, nil
	}
	name := filepath.ToSlash(filepath.Clean(p))
	inputs, err := walk(os.DirFS(p), relative(root, p), name, outside(p, root))
	if err == nil && len(inputs) == 0 {
		err = fmt.Errorf("%s holds no engine or source files (.yaml or .json)", p)
	}
	return inputs, root, err
}

func missing(p string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s: there is no such file or folder", p)
	}
	return fmt.Errorf("%s: %s", p, plainly(err))
}

// rootOf returns the folder of the dataset that a path lies in: the nearest
// above it, or itself, that holds engines/ or sources/. It is "" when there is none.
func rootOf(p string, isFolder bool) string {
	at := absolute(p)
	if !isFolder {
		at = filepath.Dir(at)
	}
	for {
		for _, sub := range []string{"engines", "sources"} {
			if info, err := os.Stat(filepath.Join(at, sub)); err == nil && info.IsDir() {
				return at
			}
		}
		up := filepath.Dir(at)
		if up == at {
			return ""
		}
		at = up
	}
}

// relative returns where a folder lies within its dataset; "." at the root.
func relative(root, p string) string {
	if root == "" {
		return "."
	}
	rel, err := filepath.Rel(root, absolute(p))
	if err != nil {
		return "."
	}
	return filepath.ToSlash(rel)
}

// folderOf returns the source records or the engines of a dataset; none when it
// has no such folder.
func folderOf(root, within string) ([]lint.Input, error) {
	folder := filepath.Join(root, within)
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return nil, nil
	}
	name := folder
	if wd, err := os.Getwd(); err == nil {
		if rel, err := filepath.Rel(wd, folder); err == nil && !strings.HasPrefix(rel, "..") {
			name = rel
		}
	}
	return walk(os.DirFS(folder), within, filepath.ToSlash(name), outside(folder, root))
}

// outside returns a check that a file, links followed, lies within the dataset.
func outside(folder, root string) func(string) error {
	if root == "" {
		root = absolute(folder)
	}
	if real, err := filepath.EvalSymlinks(root); err == nil {
		root = real
	}
	return func(name string) error {
		real, err := filepath.EvalSymlinks(filepath.Join(folder, filepath.FromSlash(name)))
		if err != nil {
			return fmt.Errorf("the link leads nowhere: %s", plainly(err))
		}
		if rel, err := filepath.Rel(root, absolute(real)); err != nil || rel == ".." || strings.HasPrefix(rel, ".."+string(filepath.Separator)) {
			return errors.New("the link leads out of the dataset and is not followed; put the file itself here")
		}
		return nil
	}
}

// walk lists the files of a folder. prefix is where it lies in its dataset,
// name how it is called in findings; check, unless nil, refuses links.
func walk(files fs.FS, prefix, name string, check func(string) error) ([]lint.Input, error) {
	var inputs []lint.Input
	add := func(p string, read func() ([]byte, error)) {
		in := lint.Input{Name: path.Join(name, p), Read: read}
		in.Kind, in.ID = lint.KindOf(path.Join(prefix, p))
		inputs = append(inputs, in)
	}
	err := fs.WalkDir(files, ".", func(p string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			add(p, func() ([]byte, error) { return nil, errors.New(plainly(err)) })
			return fs.SkipDir
		case p != "." && isApart(d.Name()):
			if d.IsDir() {
				return fs.SkipDir
			}
			return nil
		case !isData(p):
			return nil
		case d.IsDir():
			add(p, func() ([]byte, error) {
				return nil, errors.New("this is a folder, though its name is that of a file; rename it, or put the file here")
			})
			return fs.SkipDir
		}
		if check != nil && d.Type()&fs.ModeSymlink != 0 {
			if err := check(p); err != nil {
				add(p, func() ([]byte, error) { return nil, err })
				return nil
			}
		}
		add(p, func() ([]byte, error) { return readAt(files, p) })
		return nil
	})
	return inputs, err
}

// isApart reports whether a file or folder of that name is no part of a dataset,
// whatever it holds: one that is hidden, or the folder testdata, in which lies what
// programs beside the dataset are tested with.
func isApart(name string) bool { return strings.HasPrefix(name, ".") || name == "testdata" }

func isData(p string) bool {
	switch path.Ext(p) {
	case ".yaml", ".yml", ".json":
		return true
	}
	return false
}

func readFile(p string) ([]byte, error) {
	f, err := os.Open(p)
	return read(f, err)
}

func readAt(files fs.FS, p string) ([]byte, error) {
	f, err := files.Open(p)
	return read(f, err)
}

func read(f fs.File, err error) ([]byte, error) {
	if err != nil {
		return nil, errors.New(plainly(err))
	}
	defer f.Close()
	info, err := f.Stat()
	switch {
	case err != nil:
		return nil, errors.New(plainly(err))
	case !info.Mode().IsRegular():
		return nil, errors.New("this is not an ordinary file and is not read")
	}
	b := make([]byte, 0, min(info.Size()+1, readLimit))
	for len(b) < readLimit {
		if len(b) == cap(b) {
			b = append(b, 0)[:len(b)]
		}
		n, err := f.Read(b[len(b):min(cap(b), readLimit)])
		b = b[:len(b)+n]
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, errors.New(plainly(err))
		}
	}
	return b, nil
}

// plainly says what went wrong with a file without the machine's own path.
func plainly(err error) string {
	switch {
	case errors.Is(err, fs.ErrPermission):
		return "the file may not be read; check its permissions"
	case errors.Is(err, fs.ErrNotExist):
		return "the file is not there"
	}
	var p *fs.PathError
	if errors.As(err, &p) {
		return "the file cannot be read: " + p.Err.Error()
	}
	return "the file cannot be read: " + err.Error()
}
