package release

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
)

// manifest names every file of a release but itself with its SHA-256, as
// sha256sum -c reads it.
const manifest = "SHA256SUMS"

// Verify checks every file of the release against its manifest, and that there
// are no others. The error names each file that is changed, missing or strange.
func (d *Dataset) Verify() error {
	file, err := d.files.Open(manifest)
	if err != nil {
		return err
	}
	defer file.Close()
	var wrong []error
	known := map[string]bool{manifest: true}
	lines := bufio.NewScanner(file)
	for lines.Scan() {
		want, name, ok := strings.Cut(lines.Text(), "  ")
		if !ok || !fs.ValidPath(name) {
			return fmt.Errorf("%s: the line %q is none of a manifest", manifest, lines.Text())
		}
		known[name] = true
		switch is, err := d.sum(name); {
		case errors.Is(err, fs.ErrNotExist):
			wrong = append(wrong, fmt.Errorf("%s is missing", name))
		case err != nil:
			wrong = append(wrong, err)
		case is != want:
			wrong = append(wrong, fmt.Errorf("%s is not as it was published", name))
		}
	}
	if err := lines.Err(); err != nil {
		return err
	}
	err = fs.WalkDir(d.files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err == nil && !entry.IsDir() && !known[name] {
			wrong = append(wrong, fmt.Errorf("%s is no part of the release", name))
		}
		return err
	})
	return errors.Join(append(wrong, err)...)
}

func (d *Dataset) sum(name string) (string, error) {
	file, err := d.files.Open(name)
	if err != nil {
		return "", err
	}
	defer file.Close()
	hash := sha256.New()
	if _, err := io.Copy(hash, file); err != nil {
		return "", fmt.Errorf("%s: %w", name, err)
	}
	return hex.EncodeToString(hash.Sum(nil)), nil
}
