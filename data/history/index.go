package history

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"

	"fourmarks.example/data/commits"
)

// extractor is the version of what extract makes of a file, and of the form in
// which it is kept. Whoever changes either raises it; a test notices.
const extractor = 1

// index is what is known of the history of one engine: the commits that changed
// its file, and what each version of the file says. It is kept so that the next
// question is answered without reading history again.
type index struct {
	head    commits.Hash // up to which it is known
	cutOff  string       // where the clone was cut off; see Dataset.cutOff
	ids     []string     // the one it has now first
	now     []string     // those that took its place
	paths   []string
	moments []moment // the latest first
	archive *archive

	fresh bool // not kept yet
}

// header starts the file that holds an index: its version, and the checksum of
// what follows.
func header(body []byte) string {
	sum := sha256.Sum256(body)
	return fmt.Sprintf("fourmarks history %d %s\n", extractor, hex.EncodeToString(sum[:]))
}

// indexFile is where the index of an engine is kept.
func (d *Dataset) indexFile(id string) string {
	name := sha256.Sum256([]byte(d.root + "\x00" + id))
	return filepath.Join(d.repository.CommonFolder(), "fourmarks", "history", hex.EncodeToString(name[:16]))
}

// readIndex returns what was kept of an engine, nil where there is nothing of
// use: no file, one of another version, a damaged one. Then it is made anew.
func readIndex(file string) *index {
	b, err := os.ReadFile(file)
	if err != nil {
		return nil
	}
	head, body, _ := bytes.Cut(b, []byte("\n"))
	if string(head)+"\n" != header(body) {
		return nil
	}
	var k keptIndex
	if json.Unmarshal(body, &k) != nil {
		return nil
	}
	x, ok := k.index()
	if !ok {
		return nil
	}
	return x
}

// write keeps an index: whole or not at all, so that two at once do no harm. An
// index only saves time, so one that cannot be written, as in a repository that
// is only to be read, is no error.
func (x *index) write(file string) {
	body, err := json.Marshal(keep(x))
	if err != nil || os.MkdirAll(filepath.Dir(file), 0o755) != nil {
		return
	}
	t, err := os.CreateTemp(filepath.Dir(file), ".new-*")
	if err != nil {
		return
	}
	_, err = t.WriteString(header(body))
	if err == nil {
		_, err = t.Write(body)
	}
	if closing := t.Close(); err != nil || closing != nil || os.Rename(t.Name(), file) != nil {
		_ = os.Remove(t.Name()) // it is of no use to anybody
	}
}
