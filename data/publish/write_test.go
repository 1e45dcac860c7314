package publish_test

import (
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/publish"
	"fourmarks.example/data/release"
	"fourmarks.example/data/store"
	"fourmarks.example/lint"
)

func demo(t testing.TB) []lint.Input {
	inputs, err := store.OpenEmbedded()
	require.NoError(t, err)
	return inputs
}

// written publishes to a new folder.
func written(t testing.TB, o publish.Options) (dir string, is *release.Release) {
	dir = filepath.Join(t.TempDir(), "release")
	is, err := publish.Write(context.Background(), dir, o)
	require.NoError(t, err)
	return dir, is
}

// folder writes the files of a dataset and returns its inputs.
func folder(t testing.TB, files map[string]string) []lint.Input {
	dir := t.TempDir()
	for name, text := range files {
		at := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(at), 0o755))
		require.NoError(t, os.WriteFile(at, []byte(text), 0o644))
	}
	inputs, err := store.Open(dir)
	require.NoError(t, err)
	return inputs
}

// small is a dataset of one engine, sound.
func small(t testing.TB, change ...string) []lint.Input {
	return folder(t, map[string]string{
		"engines/marlowe/four.yaml": strings.NewReplacer(change...).Replace("format: 1\nengine: marlowe/four\ntitle: Marlowe Four\nmade: 1926\n" +
			"events:\n  checking:\n    from: sheet line 2\n    read_at: checking clearance\n    inlet_opens: 3 BTDC\n    inlet_closes: 48 ABDC\n"),
		"sources/sheet.yaml": "type: document\ntitle: Setting sheet\ngrade: works\n",
	})
}

func manifest(t testing.TB, dir string) string {
	b, err := os.ReadFile(filepath.Join(dir, "SHA256SUMS"))
	require.NoError(t, err)
	return string(b)
}

func TestTheSameDatasetGivesTheSameBytes(t *testing.T) {
	first, _ := written(t, publish.Options{Inputs: demo(t), Name: "1"})
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	second, _ := written(t, publish.Options{Inputs: demo(t), Name: "1"})
	assert.Equal(t, manifest(t, first), manifest(t, second), "on any number of cores")
	d, err := release.OpenFolder(first)
	require.NoError(t, err)
	assert.NoError(t, d.Verify())
}

// documents says of which definition the files of a release are; the first that
// fits counts.
var documents = []struct{ pattern, definition string }{
	{"engines/penhallow/eighteen-forty-five.json", "Redirect"}, {"engines/tarrowby/motor-cycles.json", "Redirect"},
	{"engines/*/*.json", "Engine"}, {"release.json", "Release"}, {"engines.json", "Engines"}, {"index.json", "Index"},
	{"index/entries-*.json", "Entries"}, {"index/words-*.json", "WordIndex"}, {"index/numbers-*.json", "Ranges"},
	{"sources.json", "Sources"}, {"redirects.json", "Redirects"}, {"units.json", "Units"}, {"changes.json", "Changes"},
}

func TestEveryDocumentPassesTheSchema(t *testing.T) {
	earlier := publish.EarlierDataset("before", small(t))
	dir, _ := written(t, publish.Options{Inputs: demo(t), Earlier: earlier})
	seen := map[string]bool{}
	require.NoError(t, fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(name) != ".json" {
			return err
		}
		for _, document := range documents {
			if fits, _ := filepath.Match(document.pattern, name); !fits {
				continue
			}
			seen[document.definition] = true
			b, err := os.ReadFile(filepath.Join(dir, name))
			require.NoError(t, err)
			var value any
			require.NoError(t, json.Unmarshal(b, &value), name)
			assert.NoError(t, strict(t, document.definition).Validate(value), name)
			break
		}
		return nil
	}))
	for _, document := range documents {
		assert.True(t, seen[document.definition], document.definition)
	}
}

func TestADatasetWithErrorsIsRefused(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "release")
	faulty := small(t, "48 ABDC", "48 ABDC\n    inlet_duration: 250")
	_, err := publish.Write(context.Background(), dir, publish.Options{Inputs: faulty})
	var found *publish.ErrorsFound
	require.ErrorAs(t, err, &found)
	assert.EqualError(t, err, "errors that the linter finds in the dataset: 1")
	assert.NoDirExists(t, dir)

	is, err := publish.Write(context.Background(), dir, publish.Options{Inputs: faulty, DespiteErrors: true})
	require.NoError(t, err)
	assert.Equal(t, 1, is.Errors)
	d, err := release.OpenFolder(dir)
	require.NoError(t, err)
	e, err := d.Engine("marlowe/four")
	require.NoError(t, err)
	assert.Equal(t, 1, e.Errors)
	assert.Zero(t, e.Standings[release.Derived], "nothing is derived from figures that contradict one another")
}

func TestWhatIsRequiredLeavesOutTheRest(t *testing.T) {
	dir, is := written(t, publish.Options{Inputs: demo(t), Require: "confirmed"})
	_, all := written(t, publish.Options{Inputs: demo(t)})
	for _, standing := range []string{"single-source", "settled", "derived", "disputed"} {
		assert.Zero(t, is.Standings[standing])
		assert.Equal(t, all.Standings[standing], is.LeftOut[standing], standing)
		assert.Positive(t, is.LeftOut[standing], standing)
	}
	assert.Equal(t, all.Standings["confirmed"], is.Standings["confirmed"])
	assert.Equal(t, all.Standings["absent"], is.Standings["absent"])
	d, err := release.OpenFolder(dir)
	require.NoError(t, err)
	for e, err := range d.Engines() {
		require.NoError(t, err)
		assert.Empty(t, e.Disputed)
		assert.Empty(t, e.SetAside, "what is left out is left out with its claims")
	}
	_, err = publish.Write(context.Background(), filepath.Join(t.TempDir(), "r"), publish.Options{Inputs: demo(t), Require: "certain"})
	assert.ErrorContains(t, err, `"certain" is not a standing that can be required`)
}

func TestEnginesThatCannotBePublishedAreWithheld(t *testing.T) {
	good := "format: 1\nengine: a/%s\ntitle: T\n"
	inputs := folder(t, map[string]string{
		"engines/a/good.yaml":      strings.ReplaceAll(good, "%s", "good"),
		"engines/a/twice.yaml":     strings.ReplaceAll(good, "%s", "twice"),
		"engines/a/twice.json":     `{"format":1,"engine":"a/twice","title":"T"}`,
		"engines/a/elsewhere.yaml": strings.ReplaceAll(good, "%s", "nowhere"),
		"engines/a/climbs.yaml":    "format: 1\nengine: ../../etc/passwd\ntitle: T\n",
		"engines/a/broken.yaml":    "format: [\n",
		"sources/s.yaml":           "title: S\ngrade: works\n",
		"moved.yaml":               "../../../gone: {to: a/good, because: x}\nold/name: {to: a/good, because: renamed}\na/lost: {to: a/twice, because: x}\n",
	})
	dir, is := written(t, publish.Options{Inputs: inputs, DespiteErrors: true})
	assert.Equal(t, 1, is.Engines)
	because := map[string]string{}
	for _, w := range is.Withheld {
		because[w.Engine] = w.Because
	}
	assert.Equal(t, map[string]string{
		"a/twice":     "two files hold the engine a/twice",
		"a/elsewhere": `its id is a/nowhere, and by its path it should be "a/elsewhere"`,
		"a/climbs":    `its id "../../etc/passwd" is no id: two names of small letters, figures and hyphens with a stroke between`,
		"a/broken":    `its id "" is no id: two names of small letters, figures and hyphens with a stroke between`,
	}, because)
	d, err := release.OpenFolder(dir)
	require.NoError(t, err)
	require.NoError(t, d.Verify())
	assert.Equal(t, map[string]release.Redirect{"old/name": {From: "old/name", To: []string{"a/good"}, Because: "renamed"}}, d.Redirects())
}

func TestAFolderThatIsNoReleaseIsLeftAsItIs(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "letter.txt"), []byte("dear"), 0o644))
	_, err := publish.Write(context.Background(), dir, publish.Options{Inputs: small(t)})
	assert.ErrorContains(t, err, "is not empty and holds no release, so it is left as it is: it has no release.json")
	assert.FileExists(t, filepath.Join(dir, "letter.txt"))
	_, err = publish.Write(context.Background(), filepath.Join(dir, "letter.txt"), publish.Options{Inputs: small(t)})
	assert.Error(t, err)
	_, err = publish.Write(context.Background(), filepath.Join(dir, "no", "such"), publish.Options{Inputs: small(t)})
	assert.ErrorContains(t, err, "the release cannot be written beside")
}

func TestAReleaseReplacesTheOneBefore(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "release")
	write := func(o publish.Options) error {
		_, err := publish.Write(context.Background(), dir, o)
		return err
	}
	require.NoError(t, os.Mkdir(dir, 0o755), "an empty folder will do")
	require.NoError(t, write(publish.Options{Inputs: demo(t)}))
	require.NoError(t, write(publish.Options{Inputs: small(t)}))
	assert.NoFileExists(t, filepath.Join(dir, "engines", "penhallow", "light-six.json"), "nothing of the earlier one is left")
	before := manifest(t, dir)

	require.NoError(t, os.WriteFile(filepath.Join(dir, "csv", "notes.txt"), []byte("mine"), 0o644))
	assert.ErrorContains(t, write(publish.Options{Inputs: demo(t)}), "notes.txt, which is no part of the release there and would be lost")
	require.NoError(t, os.Remove(filepath.Join(dir, "csv", "notes.txt")))

	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := publish.Write(ctx, dir, publish.Options{Inputs: demo(t)})
	assert.ErrorIs(t, err, context.Canceled)
	failing := func(*publish.Folder) (publish.Form, error) { return nil, errors.New("no form") }
	assert.EqualError(t, write(publish.Options{Inputs: demo(t), Forms: []publish.NewForm{failing}}), "no form")
	assert.Equal(t, before, manifest(t, dir), "after a failure all is as it was")
	left, err := os.ReadDir(filepath.Dir(dir))
	require.NoError(t, err)
	assert.Len(t, left, 1, "and nothing is left beside it")
}

// stopping is a form that fails or cancels at one of its steps.
type stopping struct {
	at   string
	stop func() error
}

func (s stopping) step(is string) error {
	if s.at == is {
		return s.stop()
	}
	return nil
}
func (s stopping) Prepare(*publish.Prepared) (any, error) { return nil, s.step("prepare") }
func (s stopping) Add(any) error                          { return s.step("add") }
func (s stopping) End(*publish.Whole) error               { return s.step("end") }
func (s stopping) Close() error                           { return nil }

func TestAFailureAtAnyStepStopsTheRelease(t *testing.T) {
	for _, at := range []string{"prepare", "add", "end"} {
		for _, why := range []string{"full", "cancelled"} {
			dir := filepath.Join(t.TempDir(), "release")
			ctx, cancel := context.WithCancel(context.Background())
			form := stopping{at: at, stop: func() error {
				if why == "cancelled" {
					cancel()
					return nil
				}
				return errors.New("the disk is full")
			}}
			_, err := publish.Write(ctx, dir, publish.Options{Inputs: demo(t), Forms: []publish.NewForm{func(*publish.Folder) (publish.Form, error) { return form, nil }}})
			cancel()
			if why == "cancelled" {
				assert.ErrorIs(t, err, context.Canceled, at)
			} else {
				assert.EqualError(t, err, "the disk is full", at)
			}
			left, err := os.ReadDir(filepath.Dir(dir))
			require.NoError(t, err)
			assert.Empty(t, left, "%s, %s", at, why)
		}
	}
}

func TestAFileOfAReleaseStaysInIt(t *testing.T) {
	for _, name := range []string{"../out.txt", "/etc/out.txt", "a/../../out.txt", "", "."} {
		putting := func(f *publish.Folder) (publish.Form, error) { return nil, f.Put(name, nil) }
		_, err := publish.Write(context.Background(), filepath.Join(t.TempDir(), "r"), publish.Options{Inputs: small(t), Forms: []publish.NewForm{putting}})
		assert.Error(t, err, name)
	}
	twice := func(f *publish.Folder) (publish.Form, error) { return nil, f.Put("engines.json", nil) }
	_, err := publish.Write(context.Background(), filepath.Join(t.TempDir(), "r"), publish.Options{Inputs: small(t), Forms: []publish.NewForm{twice}})
	assert.ErrorContains(t, err, "engines.json cannot be written")
}
