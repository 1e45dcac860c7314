package pages_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/commits/gittest"
	"fourmarks.example/data/history"
	"fourmarks.example/data/publish"
	"fourmarks.example/data/publish/pages"
	"fourmarks.example/data/store"
)

func TestHistoryIsTold(t *testing.T) {
	const first = `format: 1
engine: marlowe/four
title: Marlowe Four
events: {checking: {from: sheet, inlet_opens: 3 BTDC, inlet_closes: 84 ABDC}}
sources: {sheet: {title: Setting sheet, grade: works}}
`
	w := gittest.New(t)
	w.Write("data/engines/marlowe/four.yaml", first)
	w.Commit()
	w.Write("data/engines/marlowe/four.yaml", strings.Replace(first, "84 ABDC", "48 ABDC", 1))
	w.Commit()
	folder := filepath.Join(w.Dir, "data")
	d, err := history.Open(folder)
	require.NoError(t, err)
	defer d.Close()
	inputs, err := store.Open(folder)
	require.NoError(t, err)
	release := filepath.Join(t.TempDir(), "release")
	o := pages.Options{History: func(id string) (*history.History, error) { return d.Of(context.Background(), id, "") }}
	_, err = publish.Write(t.Context(), release, publish.Options{Inputs: inputs, DespiteErrors: true, Forms: []publish.NewForm{pages.New(o)}})
	require.NoError(t, err)
	page, err := os.ReadFile(filepath.Join(release, "pages", "engines", "marlowe", "four.html"))
	require.NoError(t, err)
	told := string(page[strings.Index(string(page), `<ol class="history">`):])
	change := strings.Index(told, `was <bdi>84 ABDC</bdi>, now <bdi>48 ABDC</bdi> [<bdi>sheet</bdi>]`)
	start := strings.Index(told, `now <bdi>84 ABDC</bdi>`)
	assert.Positive(t, change, told)
	assert.Greater(t, start, change, "the latest comes first")
	assert.NotContains(t, told[:change], "inlet_opens", "which did not change")
}
