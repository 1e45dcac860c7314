package serve

import (
	"slices"
)

// initialize answers the first request: who is there and what this server does.
func (s *session) initialize(m message) {
	var p initializeParams
	if err := decode(m.Params, &p); err != nil {
		s.send(answer{id: m.ID, err: err})
		return
	}
	s.stage, s.editor, s.count = initialized, p.Capabilities, utf16Units
	if slices.Contains(p.Capabilities.General.PositionEncodings, string(utf8Bytes)) {
		s.count = utf8Bytes
	}
	for _, uri := range append([]string{p.RootURI}, uris(p.WorkspaceFolders)...) {
		if path, ok := pathOf(uri); ok {
			s.folder = path
			break
		}
	}
	result := initializeResult{Capabilities: abilities{
		PositionEncoding:           string(s.count),
		TextDocumentSync:           syncOptions{OpenClose: true, Change: incremental},
		HoverProvider:              true,
		CompletionProvider:         completionOptions{TriggerCharacters: []string{" ", ":", "{", ","}},
		DefinitionProvider:         true,
		DocumentSymbolProvider:     true,
		DocumentFormattingProvider: true,
		CodeActionProvider:         codeActionOptions{CodeActionKinds: []string{quickFix}},
	}}
	result.ServerInfo.Name = program
	s.send(answer{id: m.ID, result: result})
}

// program is what this server calls itself, and its findings.
const program = "fourmarks"

func uris(folders []identifier) []string {
	all := make([]string, len(folders))
	for i, f := range folders {
		all[i] = f.URI
	}
	return all
}

// watch asks the editor to say when files of a dataset change on disk.
func (s *session) watch() {
	if !s.editor.Workspace.DidChangeWatchedFiles.DynamicRegistration {
		return
	}
	s.send(call{JSONRPC: "2.0", ID: "watch", Method: "client/registerCapability", Params: registrationParams{
		Registrations: []registration{{ID: "watch", Method: "workspace/didChangeWatchedFiles",
			RegisterOptions: watchOptions{Watchers: []watcher{{"**/sources/**/*.{yaml,yml,json}"}, {"**/engines/**/*.{yaml,yml,json}"}}}}},
	}})
}
