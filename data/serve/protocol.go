package serve

import "encoding/json"

// The types of this file are those of the Language Server Protocol 3.17, as far
// as they are used, under its names.

type position struct {
	Line      uint32 `json:"line"`
	Character uint32 `json:"character"`
}

type span struct {
	Start position `json:"start"`
	End   position `json:"end"`
}

type location struct {
	URI   string `json:"uri"`
	Range span   `json:"range"`
}

type textEdit struct {
	Range   span   `json:"range"`
	NewText string `json:"newText"`
}

type identifier struct {
	URI string `json:"uri"`
}

// documentParams is what every request about a document holds.
type documentParams struct {
	TextDocument identifier `json:"textDocument"`
}

func (p documentParams) uri() string { return p.TextDocument.URI }

type positionParams struct {
	documentParams
	Position position `json:"position"`
}

type initializeParams struct {
	RootURI          string          `json:"rootUri"`
	WorkspaceFolders []identifier    `json:"workspaceFolders"`
	Capabilities     clientAbilities `json:"capabilities"`
}

// clientAbilities is what an editor says that it can do.
type clientAbilities struct {
	General struct {
		PositionEncodings []string `json:"positionEncodings"`
	} `json:"general"`
	Workspace struct {
		WorkspaceEdit struct {
			DocumentChanges bool `json:"documentChanges"`
		} `json:"workspaceEdit"`
		DidChangeWatchedFiles struct {
			DynamicRegistration bool `json:"dynamicRegistration"`
		} `json:"didChangeWatchedFiles"`
	} `json:"workspace"`
	TextDocument struct {
		Hover struct {
			ContentFormat []string `json:"contentFormat"`
		} `json:"hover"`
		Completion struct {
			CompletionItem struct {
				DocumentationFormat []string `json:"documentationFormat"`
			} `json:"completionItem"`
		} `json:"completion"`
		CodeAction struct {
			CodeActionLiteralSupport *struct{} `json:"codeActionLiteralSupport"`
		} `json:"codeAction"`
		DocumentSymbol struct {
			HierarchicalDocumentSymbolSupport bool `json:"hierarchicalDocumentSymbolSupport"`
		} `json:"documentSymbol"`
		PublishDiagnostics struct {
			RelatedInformation bool `json:"relatedInformation"`
		} `json:"publishDiagnostics"`
	} `json:"textDocument"`
}

type initializeResult struct {
	Capabilities abilities `json:"capabilities"`
	ServerInfo   struct {
		Name string `json:"name"`
	} `json:"serverInfo"`
}

// abilities is what this server can do.
type abilities struct {
	PositionEncoding           string            `json:"positionEncoding"`
	TextDocumentSync           syncOptions       `json:"textDocumentSync"`
	HoverProvider              bool              `json:"hoverProvider"`
	CompletionProvider         completionOptions `json:"completionProvider"`
	DefinitionProvider         bool              `json:"definitionProvider"`
	DocumentSymbolProvider     bool              `json:"documentSymbolProvider"`
	DocumentFormattingProvider bool              `json:"documentFormattingProvider"`
	CodeActionProvider         codeActionOptions `json:"codeActionProvider"`
}

// incremental is the kind of text synchronisation in which changes are sent.
const incremental = 2

type syncOptions struct {
	OpenClose bool     `json:"openClose"`
	Change    int      `json:"change"`
	Save      struct{} `json:"save"`
}

type completionOptions struct {
	TriggerCharacters []string `json:"triggerCharacters"`
}

type codeActionOptions struct {
	CodeActionKinds []string `json:"codeActionKinds"`
}

type didOpenParams struct {
	TextDocument struct {
		URI     string `json:"uri"`
		Version int    `json:"version"`
		Text    string `json:"text"`
	} `json:"textDocument"`
}

type didChangeParams struct {
	TextDocument struct {
		URI     string `json:"uri"`
		Version int    `json:"version"`
	} `json:"textDocument"`
	ContentChanges []contentChange `json:"contentChanges"`
}

// contentChange replaces a range of the text, or all of it where there is none.
type contentChange struct {
	Range *span  `json:"range"`
	Text  string `json:"text"`
}

type publishDiagnosticsParams struct {
	URI         string       `json:"uri"`
	Version     *int         `json:"version,omitempty"`
	Diagnostics []diagnostic `json:"diagnostics"`
}

type severity int

const (
	severityError       severity = 1
	severityWarning     severity = 2
	severityInformation severity = 3
)

type diagnostic struct {
	Range              span      `json:"range"`
	Severity           severity  `json:"severity"`
	Code               string    `json:"code,omitempty"`
	Source             string    `json:"source"`
	Message            string    `json:"message"`
	RelatedInformation []related `json:"relatedInformation,omitempty"`
}

type related struct {
	Location location `json:"location"`
	Message  string   `json:"message"`
}

type markup struct {
	Kind  string `json:"kind"`
	Value string `json:"value"`
}

type hover struct {
	Contents markup `json:"contents"`
	Range    span   `json:"range"`
}

type completionKind int

const (
	kindProperty   completionKind = 10
	kindUnit       completionKind = 11
	kindValue      completionKind = 12
	kindReference  completionKind = 18
	kindEnumMember completionKind = 20
)

type completionItem struct {
	Label         string         `json:"label"`
	Kind          completionKind `json:"kind"`
	Detail        string         `json:"detail,omitempty"`
	Documentation *markup        `json:"documentation,omitempty"`
	SortText      string         `json:"sortText"`
	FilterText    string         `json:"filterText,omitempty"`
	TextEdit      textEdit       `json:"textEdit"`
}

type codeActionParams struct {
	documentParams
	Range   span `json:"range"`
	Context struct {
		Only []string `json:"only"`
	} `json:"context"`
}

type codeAction struct {
	Title       string        `json:"title"`
	Kind        string        `json:"kind"`
	Diagnostics []diagnostic  `json:"diagnostics"`
	IsPreferred bool          `json:"isPreferred,omitempty"`
	Edit        workspaceEdit `json:"edit"`
}

// workspaceEdit holds the one of the two that the editor understands.
type workspaceEdit struct {
	Changes         map[string][]textEdit `json:"changes,omitempty"`
	DocumentChanges []documentEdit        `json:"documentChanges,omitempty"`
}

type documentEdit struct {
	TextDocument struct {
		URI     string `json:"uri"`
		Version int    `json:"version"`
	} `json:"textDocument"`
	Edits []textEdit `json:"edits"`
}

type symbolKind int

const (
	symbolNamespace symbolKind = 3
	symbolString    symbolKind = 15
	symbolNumber    symbolKind = 16
)

type documentSymbol struct {
	Name           string           `json:"name"`
	Detail         string           `json:"detail,omitempty"`
	Kind           symbolKind       `json:"kind"`
	Range          span             `json:"range"`
	SelectionRange span             `json:"selectionRange"`
	Children       []documentSymbol `json:"children,omitempty"`
}

// symbolInformation is for editors that do not know documentSymbol.
type symbolInformation struct {
	Name          string     `json:"name"`
	Kind          symbolKind `json:"kind"`
	Location      location   `json:"location"`
	ContainerName string     `json:"containerName,omitempty"`
}

type registrationParams struct {
	Registrations []registration `json:"registrations"`
}

type registration struct {
	ID              string `json:"id"`
	Method          string `json:"method"`
	RegisterOptions any    `json:"registerOptions"`
}

type watchOptions struct {
	Watchers []watcher `json:"watchers"`
}

type watcher struct {
	GlobPattern string `json:"globPattern"`
}

type cancelParams struct {
	ID json.RawMessage `json:"id"`
}
