package release_test

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/release"
)

func opened(t *testing.T) *release.Dataset {
	d, err := release.OpenFolder(folder)
	require.NoError(t, err)
	return d
}

func TestEveryEngineOfTheListCanBeRead(t *testing.T) {
	d := opened(t)
	entries, err := d.Entries()
	require.NoError(t, err)
	require.Len(t, entries, d.About.Engines)
	i := 0
	for streamed, err := range d.Engines() {
		require.NoError(t, err)
		one, err := d.Engine(entries[i].ID)
		require.NoError(t, err)
		assert.Equal(t, streamed, one)
		i++
	}
	assert.Equal(t, len(entries), i)
	for e := range d.Engines() {
		assert.Equal(t, entries[0].ID, e.ID, "one may stop after the first")
		break
	}
}

func TestEnginesThatThereAreNot(t *testing.T) {
	d := opened(t)
	for _, id := range []string{"penhallow/nothing", "", "penhallow", "../release", "/etc/passwd", "penhallow/../penhallow/light-six", "penhallow//light-six", "a/b\x00"} {
		_, err := d.Engine(id)
		var unknown *release.UnknownError
		require.ErrorAs(t, err, &unknown, id)
		assert.Contains(t, err.Error(), "the release holds no engine")
	}
}

func TestSeriesOfAnEngine(t *testing.T) {
	e, err := opened(t).Engine("penhallow/light-six")
	require.NoError(t, err)
	assert.Equal(t, 48.0, *e.Variant("").Figure("events.checking.inlet_closes").Value)
	assert.Equal(t, 52.0, *e.Variant("series-2").Figure("events.checking.inlet_closes").Value)
	assert.Nil(t, e.Variant("series-3"))
	assert.Nil(t, e.Figure("events.checking.nothing"))
	assert.Equal(t, "maker", e.Source("penhallow-handbook-1927").Grade)
	assert.Nil(t, e.Source("nothing"))
}

func TestFind(t *testing.T) {
	d := opened(t)
	for words, want := range map[string]string{
		"light six":    "penhallow/light-six",
		"LIGHT-SIX":    "penhallow/light-six",
		"second serie": "penhallow/light-six",
		"p":            "penhallow/eighteen penhallow/light-six penhallow/twelve garrowmoor/model-k",
		"zz":           "", "six zz": "", "": "", "—": "",
	} {
		found, err := d.Find(words)
		require.NoError(t, err, words)
		var ids []string
		for _, e := range found {
			ids = append(ids, e.ID)
		}
		if words == "p" {
			assert.Subset(t, ids, strings.Fields(want), "every word that begins so")
			continue
		}
		assert.Equal(t, want, strings.Join(ids, " "), words)
	}
	for number, want := range map[string]int{"LS1001": 1, "ls-4750": 1, "LS4751": 0, "LS": -1, "ZZ1": 0} {
		found, err := d.FindNumber(number)
		if want < 0 {
			assert.ErrorContains(t, err, "does not end in figures")
			continue
		}
		require.NoError(t, err, number)
		assert.Len(t, found, want, number)
	}
}

func TestWhatStandsOnce(t *testing.T) {
	d := opened(t)
	assert.Equal(t, "2027.1", d.About.Name)
	sources, err := d.Sources()
	require.NoError(t, err)
	assert.Len(t, sources, d.About.Sources)
	units, err := d.Units()
	require.NoError(t, err)
	assert.Contains(t, units, release.Unit{Symbol: "thou", Name: "thou", Quantity: "a length", UCUM: "[mil_i]", SI: "mm"})
	changes, err := d.Changes()
	assert.NoError(t, err)
	assert.Nil(t, changes)
}

// copied is the release in memory, to be spoilt.
func copied(t *testing.T) fstest.MapFS {
	copied := fstest.MapFS{}
	for name, file := range inMemory(t) {
		copied[name] = &fstest.MapFile{Data: file.Data}
	}
	return copied
}

var memory fstest.MapFS

func inMemory(t *testing.T) fstest.MapFS {
	if memory != nil {
		return memory
	}
	files := fstest.MapFS{}
	require.NoError(t, fs.WalkDir(os.DirFS(folder), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(name)))
		files[name] = &fstest.MapFile{Data: b}
		return err
	}))
	memory = files
	return files
}

func TestVerify(t *testing.T) {
	files := copied(t)
	d, err := release.Open(files)
	require.NoError(t, err)
	require.NoError(t, d.Verify())
	files["engines/penhallow/twelve.json"].Data = []byte("{}")
	delete(files, "units.json")
	files["extra.txt"] = &fstest.MapFile{}
	assert.EqualError(t, d.Verify(), "engines/penhallow/twelve.json is not as it was published\nunits.json is missing\nextra.txt is no part of the release")
	files["SHA256SUMS"].Data = []byte("nonsense\n")
	assert.ErrorContains(t, d.Verify(), `the line "nonsense" is none of a manifest`)
	delete(files, "SHA256SUMS")
	assert.ErrorIs(t, d.Verify(), fs.ErrNotExist)
}

func TestWhatIsNoReleaseIsRefused(t *testing.T) {
	_, err := release.OpenFolder(t.TempDir())
	assert.ErrorContains(t, err, "this is no release")
	for about, want := range map[string]string{
		`{"published_format":"2.0"}`:  `the release is of the published format "2.0", and this package reads 1`,
		`{"engines":3}`:               `the release is of the published format ""`,
		`[]`:                          "release.json",
		`{"published_format":"1.99"}`: "",
	} {
		files := copied(t)
		files["release.json"].Data = []byte(about)
		_, err := release.Open(files)
		if want == "" {
			assert.NoError(t, err, "a later minor version only adds")
			continue
		}
		assert.ErrorContains(t, err, want)
	}
}

// A file that is broken is an error that names it, and never a panic.
func TestBrokenFilesAreNamed(t *testing.T) {
	for _, name := range []string{"redirects.json", "engines.json", "sources.json", "units.json", "index.json", "lines/engines-0000.jsonl",
		"index/words-si.json", "index/numbers-ls.json", "index/entries-0.json", "engines/penhallow/light-six.json"} {
		files := copied(t)
		require.Contains(t, files, name)
		for _, broken := range []string{"", "{", `{"engines":1}`, `[{"engine":-7}]`, `{"six":[-3,999]}`, `[{"letters":"LS","first":null,"last":null,"engine":5000}]`} {
			files[name].Data = []byte(broken)
			d, err := release.Open(files)
			if err != nil {
				assert.Contains(t, err.Error(), name)
				continue
			}
			every(d, func(err error) {
				if err != nil {
					assert.True(t, strings.Contains(err.Error(), name) || strings.Contains(err.Error(), "index/entries-") || strings.Contains(err.Error(), "no engine"), "%s: %v", name, err)
				}
			})
		}
	}
}

// every reads all that a release can be asked for.
func every(d *release.Dataset, said func(error)) {
	for _, err := range d.Engines() {
		said(err)
	}
	_, err := d.Entries()
	said(err)
	_, err = d.Sources()
	said(err)
	_, err = d.Units()
	said(err)
	_, err = d.Find("light six")
	said(err)
	_, err = d.FindNumber("LS2207")
	said(err)
	_, err = d.Engine("penhallow/light-six")
	said(err)
}

func TestWordsAndKeys(t *testing.T) {
	assert.Equal(t, []string{"penhallow", "light", "six", "18", "45"}, release.Words("Penhallow Light-Six, 18/45"))
	for word, key := range map[string]string{"six": "si", "S": "s", "LS": "ls", "18": "18", "": "none", "élan": "xc3a96c", "№7": "xe284963" + "7"} {
		assert.Equal(t, key, release.Key(word), word)
	}
}

// A program that reads a release brings nothing along but the standard library.
func TestItNeedsNothingElse(t *testing.T) {
	out, err := exec.Command("go", "list", "-deps", "-f", "{{if not .Standard}}{{.ImportPath}}{{end}}", ".").Output()
	require.NoError(t, err)
	assert.Equal(t, "fourmarks.example/data/release", strings.TrimSpace(string(out)))
}
