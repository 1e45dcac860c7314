package merge_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/data/merge"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// dataset holds one engine, if any, and the handbook.
func dataset(engine string) merge.Files {
	return func(kind lint.InputKind, id string) ([]byte, error) {
		switch {
		case kind == lint.SourceFile && id == "handbook":
			return []byte("title: The handbook\ngrade: maker\n"), nil
		case kind == lint.EngineFile && engine != "":
			return []byte(engine), nil
		}
		return nil, nil
	}
}

func TestContributions(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/contributions/cases.txtar")
	require.NoError(t, err)
	cases, names := casesOf(t, archive)
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			c := cases[name]
			all, err := merge.Contribution(schema.ReadFile("c.yaml", []byte(c["contribution"])), dataset(c["present"]))
			if c["error"] != "" {
				require.EqualError(t, err, strings.TrimSuffix(c["error"], "\n"))
				return
			}
			require.NoError(t, err)
			conflicts := ""
			for _, a := range all {
				if a.Kind == lint.SourceFile {
					conflicts += strings.TrimSuffix("sources/"+a.ID+" "+conflictLines(a.Result), "sources/"+a.ID+" ")
				} else {
					conflicts += conflictLines(a.Result)
				}
			}
			require.Equal(t, c["conflicts"], conflicts)
			if conflicts != "" {
				return
			}
			assert.Equal(t, c["want"], string(all[0].Text))
			assert.Equal(t, c["present"] == "", all[0].New)
			for _, change := range all[0].Changed {
				assert.Equal(t, merge.Theirs, change.By, change.Pointer)
			}
			assert.Empty(t, all[0].Removed)
			if c["source"] != "" {
				require.Len(t, all, 2)
				assert.Equal(t, c["source"], string(all[1].Text))
				assert.True(t, all[1].New)
			} else {
				assert.Len(t, all, 1)
			}
		})
	}
}

// casesOf sorts the files of an archive into cases.
func casesOf(t *testing.T, archive *txtar.Archive) (cases map[string]map[string]string, names []string) {
	cases = map[string]map[string]string{}
	for _, f := range archive.Files {
		name, part, ok := strings.Cut(f.Name, ": ")
		require.True(t, ok, f.Name)
		if cases[name] == nil {
			cases[name] = map[string]string{}
			names = append(names, name)
		}
		cases[name][part] = string(f.Data)
	}
	return cases, names
}

func TestTheDatasetCannotBeRead(t *testing.T) {
	broken := errors.New("no disk")
	files := func(lint.InputKind, string) ([]byte, error) { return nil, broken }
	_, err := merge.Contribution(schema.ReadFile("c.yaml", []byte("contribution: 1\nengine: a/b\nby: x\nnote: y\nfrom: z\nfigures: {size: {bore: 3 in}}\n")), files)
	require.ErrorIs(t, err, broken)
	_, err = merge.Whole(schema.ReadFile("e.yaml", []byte("format: 1\nengine: a/b\ntitle: T\n")), files)
	require.ErrorIs(t, err, broken)
}

// An id that has moved is followed, and never used again.
func TestMovedEngines(t *testing.T) {
	record := "old/heron: {to: tolvane/heron, because: renamed}\nold/birds: {to: [tolvane/heron, tolvane/crane], because: split}\n"
	files := func(kind lint.InputKind, id string) ([]byte, error) {
		if kind == lint.MovedFile {
			return []byte(record), nil
		}
		if id == "old/heron" || id == "old/birds" {
			return nil, nil
		}
		return dataset(head)(kind, id)
	}
	contribute := func(id string) ([]*merge.Addition, error) {
		return merge.Contribution(schema.ReadFile("c.yaml", []byte("contribution: 1\nengine: "+id+"\nby: x\nnote: y\nfrom: handbook\nfigures: {size: {bore: 3 in}}\n")), files)
	}
	all, err := contribute("old/heron")
	require.NoError(t, err)
	assert.Equal(t, "tolvane/heron", all[0].ID)
	assert.Equal(t, head+"size: {from: handbook, bore: 3 in}\n", string(all[0].Text))
	_, err = contribute("old/birds")
	require.EqualError(t, err, "old/birds has become several engines; say which of them this is of: tolvane/heron, tolvane/crane")
	_, err = merge.Whole(schema.ReadFile("e.yaml", []byte("format: 1\nengine: old/heron\ntitle: T\n")), files)
	require.EqualError(t, err, "e.yaml:2:9: old/heron has moved and is tolvane/heron now; give it that id")
	record = "old/heron: {because: lost}\n"
	_, err = contribute("old/heron")
	require.ErrorContains(t, err, "moved.yaml:1:1: `old/heron` moved nowhere")
}

func TestWhole(t *testing.T) {
	present := head + "lifts: {from: handbook p. 3, inlet: 8 mm}\n"
	whole := func(source string) (*merge.Addition, error) {
		return merge.Whole(schema.ReadFile("e.yaml", []byte(source)), dataset(present))
	}
	a, err := whole(head + "lifts: {from: handbook p. 3, inlet: 8 mm}\nsize: {from: own, bore: 3 in}\nsources: {own: {title: T, grade: recall}}\n")
	require.NoError(t, err)
	assert.Equal(t, head+"size: {from: own, bore: 3 in}\nlifts: {from: handbook p. 3, inlet: 8 mm}\nsources: {own: {title: T, grade: recall}}\n", string(a.Text))
	assert.False(t, a.New)

	a, err = whole(head + "size: {from: handbook, bore: 3 in}\n")
	require.NoError(t, err)
	assert.Equal(t, head+"size: {from: handbook, bore: 3 in}\nlifts: {from: handbook p. 3, inlet: 8 mm}\n", string(a.Text), "what is not in it stays")

	a, err = whole(head + "lifts: {from: handbook p. 3, inlet: 9 mm}\n")
	require.NoError(t, err)
	assert.Equal(t, "/lifts/inlet handbook: added two ways\n", conflictLines(a.Result))

	_, err = whole(head + "size: {bore: 3 in,\n  stroke: {is: 4 in, from: hearsay}}\n")
	require.EqualError(t, err, "e.yaml:4:14: `size.bore` names no source; say after `from:` where it was read\n"+
		"e.yaml:5:16: `size.stroke` is from hearsay, and there is no record of that source; add one under `sources:`")
	_, err = whole("format: 1\nengine: tolvane/heron\n")
	require.EqualError(t, err, "e.yaml:1:1: `title` is missing; the engine file needs it")

	a, err = merge.Whole(schema.ReadFile("e.yaml", []byte("title: T\nengine: tolvane/heron\nformat: 1\n")), dataset(""))
	require.NoError(t, err)
	assert.True(t, a.New)
	assert.Equal(t, "format: 1\nengine: tolvane/heron\ntitle: T\n", string(a.Text))
}

// TestWholeLosesNothing: every claim of the dataset and of the file added is in the
// result or in a conflict, nothing is removed, and added once more it adds nothing.
func TestWholeLosesNothing(t *testing.T) {
	files := func(present []byte) merge.Files {
		return func(kind lint.InputKind, _ string) ([]byte, error) {
			switch kind {
			case lint.SourceFile:
				return []byte("title: T\ngrade: maker\n"), nil
			case lint.EngineFile:
				return present, nil
			}
			return nil, nil
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		base := drawEngine(t)
		present, sent := []byte(base.edited(t, 5, always).text()), []byte(base.edited(t, 5, always).text())
		a, err := merge.Whole(schema.ReadFile("e.yaml", sent), files(present))
		if err != nil {
			require.ErrorContains(t, err, "names no source")
			return
		}
		checkNothingLost(t, nil, present, sent, a.Result)
		require.Empty(t, a.Removed)
		if len(a.Conflicts) > 0 {
			return
		}
		again, err := merge.Whole(schema.ReadFile("e.yaml", sent), files(a.Text))
		require.NoError(t, err)
		require.Empty(t, again.Conflicts)
		require.Equal(t, string(a.Text), string(again.Text))
		require.Empty(t, again.Changed)
	})
}
