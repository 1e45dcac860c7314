package main

import (
	"encoding/json"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// floors lists the rooms of the house from the ground up. A room may import
// only rooms of lower floors; rooms named on one line share a floor and do not
// import one another. A room's folders below it stand on its floor.
var floors = [][]string{
	{"convert/interval", "convert/internal/published"},
	{"convert"},
	{"convert/crank"},
	{"convert/cam", "convert/gear", "convert/air"},
	{"schema/text"},
	{"schema/figure"},
	{"schema/notation"},
	{"schema"},
	{"lint/relation"},
	{"lint"},
	{"lint/rules"},
	{"lint/run"},
	{"lint/report"},
	{"data"},
	{"data/commits", "data/commits/gittest", "data/merge/lines", "data/cautions", "data/internal/browser", "data/sheet/diagram"},
	{"data/store"},
	{"data/claims"},
	{"data/changes"},
	{"data/release"},
	{"data/merge", "data/settle", "data/history", "data/sheet", "data/assess", "data/serve", "data/intake"},
	{"data/publish", "data/merge/branch", "data/sheet/forms"},
	{"data/publish/pages"},
	{"cmd/fourmarks", "cmd/pagelint"},
}

const module = "fourmarks.example/"

func TestRoomsImportOnlyFromLowerFloors(t *testing.T) {
	floorOf := map[string]int{}
	for i, rooms := range floors {
		for _, room := range rooms {
			floorOf[room] = i
		}
	}
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports", module+"...").Output()
	require.NoError(t, err)
	dec := json.NewDecoder(strings.NewReader(string(out)))
	rooms := 0
	for dec.More() {
		var p struct {
			ImportPath string
			Imports    []string
		}
		require.NoError(t, dec.Decode(&p))
		room := strings.TrimPrefix(p.ImportPath, module)
		floor, ok := floorOf[room]
		if !ok {
			assert.True(t, strings.HasPrefix(room, "testdata/"), "the room %s stands on no floor; give it one here", room)
			continue
		}
		rooms++
		for _, imported := range p.Imports {
			below, ours := strings.CutPrefix(imported, module)
			if ours {
				assert.Less(t, floorOf[below], floor, "%s imports %s", room, below)
			}
		}
	}
	assert.Greater(t, rooms, 10)
}
