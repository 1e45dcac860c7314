package lint

import (
	"path"
	"strings"
)

// An example in a rule's page is a part of an engine file: its head and two
// sources, `handbook` and `sheet`, are added where they are missing. An example
// of several files parts them by lines such as
//
//	--- sources/handbook.yaml
//
// and then each file stands as it is.

const exampleHead = "format: 1\nengine: example/example\ntitle: Example\n"

const exampleSources = "sources:\n  handbook: {type: pamphlet, title: Instruction book, issued: 1927, grade: maker}\n" +
	"  sheet: {type: document, title: Setting sheet, issued: 1928, grade: works}\n"

const fileLine = "--- "

// ExampleInputs returns the files that a rule's example stands for.
func ExampleInputs(example string) []Input {
	example = strings.TrimLeft(example, "\n")
	if !strings.HasPrefix(example, fileLine) {
		return []Input{exampleInput("engines/example/example.yaml", complete(example))}
	}
	var inputs []Input
	for _, part := range strings.Split("\n"+example, "\n"+fileLine)[1:] {
		name, text, _ := strings.Cut(part, "\n")
		inputs = append(inputs, exampleInput(strings.TrimSpace(name), text+"\n"))
	}
	return inputs
}

func exampleInput(name, text string) Input {
	in := Input{Name: name, Read: func() ([]byte, error) { return []byte(text), nil }}
	stem := strings.TrimSuffix(name, path.Ext(name))
	switch folder, rest, _ := strings.Cut(stem, "/"); {
	case stem == "moved":
		in.Kind = MovedFile
	case folder == "sources":
		in.Kind, in.ID = SourceFile, rest
	case folder == "engines":
		in.ID = rest
	}
	return in
}

func complete(part string) string {
	if !strings.Contains("\n"+part, "\nformat:") {
		part = exampleHead + part
	}
	if !strings.Contains("\n"+part, "\nsources:") {
		part = strings.TrimRight(part, "\n") + "\n" + exampleSources
	}
	return part
}
