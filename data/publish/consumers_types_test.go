package publish_test

import (
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An engine of each release stands as a literal in a program of TypeScript, where
// the compiler knows every key and type; a program that misuses them is refused.
func typesByTheCompiler(t *testing.T, dirs map[string]string) {
	needs(t, "node")
	var engines, others strings.Builder
	for name, dir := range dirs {
		for _, id := range slices.Sorted(maps.Keys(entries(t, dir)))[:1] { // the compiler takes its time over a literal
			engines.WriteString(document(t, dir, "engines/"+id) + ",\n")
		}
		for _, of := range []string{"Release", "Sources", "Index"} {
			others.WriteString("export const " + name + of + ": " + of + " = " + document(t, dir, strings.ToLower(of)) + ";\n")
		}
	}
	program := t.TempDir()
	put := func(name, text string) string {
		at := filepath.Join(program, name)
		require.NoError(t, os.WriteFile(at, []byte(text), 0o644))
		return at
	}
	types, err := os.ReadFile(filepath.Join(dirs["demo"], "release.d.ts"))
	require.NoError(t, err)
	put("release.d.ts", string(types))
	compiler := filepath.Join("..", "..", "testdata", "consumers", "node_modules", "typescript", "bin", "tsc")
	output(t, "node", compiler, "--noEmit", "--strict", put("use.ts",
		"import type { Engine, Release, Sources, Index } from './release';\nexport const engines: Engine[] = [\n"+engines.String()+"];\n"+others.String()))

	out, err := exec.Command("node", compiler, "--noEmit", "--strict", put("misuse.ts", "import type { Engine } from './release';\ndeclare const e: Engine;\n"+
		"export const n: number = e.figures[0]!.value;\nexport const s: 'certain' = e.figures[0]!.standing;\n")).Output()
	assert.Error(t, err)
	for _, line := range []string{"misuse.ts(3,14)", "misuse.ts(4,14)"} {
		assert.Contains(t, string(out), line, "a value may be null, and no standing is called so")
	}
}

func document(t *testing.T, dir, name string) string {
	text, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)+".json"))
	require.NoError(t, err)
	return strings.TrimSpace(string(text))
}
