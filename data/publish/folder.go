package publish

import (
	"bufio"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// Folder is the release while it is written. Its files are made by any number
// of goroutines at once.
type Folder struct {
	root string

	mu     sync.Mutex
	made   map[string]bool
	filed  []filed
	opened map[*File]bool
}

// filed is a finished file.
type filed struct {
	name   string
	size   int64
	sha256 [sha256.Size]byte
}

func newFolder(root string) *Folder {
	return &Folder{root: root, made: map[string]bool{".": true}, opened: map[*File]bool{}}
}

// File is a file of a release that is being written.
type File struct {
	folder  *Folder
	name    string
	file    *os.File
	buffer  *bufio.Writer
	hash    hash.Hash
	written int64
}

// Create makes a file. The name is its path in the release, with forward slashes;
// one that leads elsewhere, or is there already, is refused.
func (f *Folder) Create(name string) (*File, error) {
	file, err := f.open(name)
	if err != nil {
		return nil, err
	}
	out := &File{folder: f, name: name, file: file, hash: sha256.New()}
	out.buffer = bufio.NewWriterSize(io.MultiWriter(file, out.hash), 64<<10)
	f.mu.Lock()
	defer f.mu.Unlock()
	f.opened[out] = true
	return out, nil
}

// path returns where a file of the release lies, and makes the folder it is in.
func (f *Folder) path(name string) (string, error) {
	local, err := filepath.Localize(name)
	if err != nil {
		return "", fmt.Errorf("%q is no name for a file of a release", name)
	}
	within := filepath.Dir(local)
	f.mu.Lock()
	defer f.mu.Unlock()
	if !f.made[within] {
		if err := os.MkdirAll(filepath.Join(f.root, within), 0o755); err != nil {
			return "", err
		}
		f.made[within] = true
	}
	return filepath.Join(f.root, local), nil
}

// Put makes a file of a text.
func (f *Folder) Put(name string, text []byte) error {
	file, err := f.open(name)
	if err != nil {
		return err
	}
	_, err = file.Write(text)
	if err := errors.Join(err, file.Close()); err != nil {
		return fmt.Errorf("%s cannot be written: %w", name, err)
	}
	f.count(filed{name: name, size: int64(len(text)), sha256: sha256.Sum256(text)})
	return nil
}

// open makes a file that must not be there yet.
func (f *Folder) open(name string) (*os.File, error) {
	at, err := f.path(name)
	if err != nil {
		return nil, err
	}
	file, err := os.OpenFile(at, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be written: %w", name, err)
	}
	return file, nil
}

// adopt counts a file in that something else wrote.
func (f *Folder) adopt(name string) error {
	at, err := f.path(name)
	if err != nil {
		return err
	}
	file, err := os.Open(at)
	if err != nil {
		return err
	}
	defer file.Close()
	sum := sha256.New()
	size, err := io.Copy(sum, file)
	if err != nil {
		return err
	}
	f.count(filed{name: name, size: size, sha256: [sha256.Size]byte(sum.Sum(nil))})
	return nil
}

// count counts a finished file in.
func (f *Folder) count(is filed) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.filed = append(f.filed, is)
}

// Write writes to the file.
func (f *File) Write(b []byte) (int, error) {
	n, err := f.buffer.Write(b)
	f.written += int64(n)
	return n, err
}

// WriteString writes a text to the file.
func (f *File) WriteString(s string) (int, error) {
	n, err := f.buffer.WriteString(s)
	f.written += int64(n)
	return n, err
}

// Close finishes the file.
func (f *File) Close() error {
	err := f.buffer.Flush()
	f.folder.mu.Lock()
	delete(f.folder.opened, f)
	f.folder.mu.Unlock()
	if err := errors.Join(err, f.file.Close()); err != nil {
		return fmt.Errorf("%s cannot be written: %w", f.name, err)
	}
	f.folder.count(filed{name: f.name, size: f.written, sha256: [sha256.Size]byte(f.hash.Sum(nil))})
	return nil
}

// abandon closes the files that are still open, after a failure.
func (f *Folder) abandon() {
	f.mu.Lock()
	defer f.mu.Unlock()
	for file := range f.opened {
		_ = file.file.Close() // the release is thrown away, whatever becomes of it
	}
	f.opened = nil
}

// files are the finished files by name.
func (f *Folder) files() []filed {
	f.mu.Lock()
	defer f.mu.Unlock()
	slices.SortFunc(f.filed, func(a, b filed) int { return cmp.Compare(a.name, b.name) })
	return slices.Clone(f.filed)
}

// manifestName is the file with the SHA-256 of every other, as sha256sum writes
// and checks it.
const manifestName = "SHA256SUMS"

func (f *Folder) manifest() error {
	var b strings.Builder
	for _, is := range f.files() {
		fmt.Fprintf(&b, "%s  %s\n", hex.EncodeToString(is.sha256[:]), is.name)
	}
	return f.Put(manifestName, []byte(b.String()))
}
