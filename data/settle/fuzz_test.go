package settle_test

import (
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/data"
	"fourmarks.example/data/claims"
	"fourmarks.example/data/settle"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// Whatever the file and the reason: never a panic, and where a text comes out, it
// has every claim that there was and decodes no worse.
func FuzzSettle(f *testing.F) {
	names, err := fs.Glob(data.Files, "engines/*/*.yaml")
	require.NoError(f, err)
	for _, name := range names {
		source, err := fs.ReadFile(data.Files, name)
		require.NoError(f, err)
		engine, _ := schema.DecodeEngine(schema.ReadFile(name, source))
		for _, e := range engine.All() {
			for _, fig := range e.Figures() {
				if len(fig.Claims) > 1 {
					f.Add(string(source), e.Variant, fig.Path, fig.Claims[0].Key, "a reason")
				}
			}
		}
	}
	f.Add(variants, "", "inlet", "a", "so: \"it\" # is")
	f.Add(strings.ReplaceAll(variants, "\n", "\r"), "late", "inlet", "b", "{")
	f.Add("\uFEFF"+variants, "", "inlet", "a", "\x00")
	f.Fuzz(func(t *testing.T, source, variant, figure, keep, because string) {
		file := schema.ReadFile("x.yaml", []byte(source))
		s, err := settle.Settle(file, settle.Decision{Variant: variant, Figure: figure, Keep: keep, Because: because})
		if err != nil {
			return
		}
		after := schema.ReadFile("x.yaml", s.After)
		require.Empty(t, after.Doc.Problems)
		_, problems := schema.DecodeEngine(file)
		_, left := schema.DecodeEngine(after)
		require.LessOrEqual(t, len(left), len(problems))
		was, is := claims.Of(lint.EngineFile, file), claims.Of(lint.EngineFile, after)
		require.Len(t, is, len(was))
		aside := 0
		for i := range was {
			require.Equal(t, []string{was[i].Pointer, was[i].Key, was[i].Printed, was[i].Citation(), was[i].Note, was[i].Quote},
				[]string{is[i].Pointer, is[i].Key, is[i].Printed, is[i].Citation(), is[i].Note, is[i].Quote})
			if is[i].Aside && !was[i].Aside {
				aside++
			}
		}
		require.Equal(t, len(s.Aside), aside)
		require.Positive(t, aside)
	})
}
