package release

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strconv"
	"strings"
)

// Find returns the engines that have every word of a text in their id, names or
// looks, whole or its beginning, in the order of ids. It reads the index only.
func (d *Dataset) Find(words string) ([]Entry, error) {
	x, err := d.index()
	if err != nil {
		return nil, err
	}
	var found []int
	for i, word := range Words(words) {
		engines, err := d.having(word)
		if err != nil {
			return nil, err
		}
		if i == 0 {
			found = engines
			continue
		}
		found = slices.DeleteFunc(found, func(n int) bool { _, has := slices.BinarySearch(engines, n); return !has })
	}
	return d.entries(x, found)
}

// FindNumber returns the engines to which an engine number can belong.
func (d *Dataset) FindNumber(number string) ([]Entry, error) {
	x, err := d.index()
	if err != nil {
		return nil, err
	}
	letters, n, ok := splitNumber(number)
	if !ok {
		return nil, fmt.Errorf("the number %q does not end in figures", number)
	}
	var ranges []Range
	if err := d.read("index/numbers-"+Key(letters)+".json", &ranges); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	var found []int
	for _, r := range ranges {
		if r.Letters == letters && (r.First == nil || *r.First <= n) && (r.Last == nil || n <= *r.Last) {
			found = append(found, r.Engine)
		}
	}
	slices.Sort(found)
	return d.entries(x, slices.Compact(found))
}

func (d *Dataset) index() (x Index, err error) {
	err = d.read("index.json", &x)
	if err == nil && x.PerShard <= 0 {
		err = errors.New("index.json: it does not say how many engines a file holds")
	}
	return x, err
}

// having returns the numbers of the engines that have a word, or one that begins
// so, in order.
func (d *Dataset) having(word string) ([]int, error) {
	x, err := d.index()
	if err != nil {
		return nil, err
	}
	var all []int
	for _, key := range x.Words {
		if key != Key(word) && !(len([]rune(word)) < 2 && strings.HasPrefix(key, Key(word))) {
			continue
		}
		var words map[string][]int
		if err := d.read("index/words-"+key+".json", &words); err != nil {
			return nil, err
		}
		for is, engines := range words {
			if strings.HasPrefix(is, word) {
				all = append(all, engines...)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all), nil
}

// entries reads the entries of the engines of those numbers.
func (d *Dataset) entries(x Index, numbers []int) ([]Entry, error) {
	var found []Entry
	shard, at := []Entry(nil), -1
	for _, n := range numbers {
		if n/x.PerShard != at {
			at, shard = n/x.PerShard, nil
			if err := d.read("index/entries-"+strconv.Itoa(at)+".json", &shard); err != nil {
				return nil, err
			}
		}
		if n < 0 || n%x.PerShard >= len(shard) {
			return nil, fmt.Errorf("index/entries-%d.json: it has no engine %d", at, n)
		}
		found = append(found, shard[n%x.PerShard])
	}
	return found, nil
}

// splitNumber splits LS1001 into LS and 1001, as [Range] has them.
func splitNumber(s string) (letters string, number int64, ok bool) {
	s = strings.ToUpper(strings.NewReplacer(" ", "", "-", "", ".", "", "/", "").Replace(s))
	letters = strings.TrimRight(s, "0123456789")
	number, err := strconv.ParseInt(s[len(letters):], 10, 64)
	return letters, number, err == nil
}
