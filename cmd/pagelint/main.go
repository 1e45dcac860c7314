// Program pagelint is the linter as it runs in a web page: compiled to
// WebAssembly it checks what is typed there, with the same rules and the same
// findings as `fourmarks lint --json`, and nothing leaves the browser.
//
// Run as an ordinary program it builds that one and writes it, with the glue
// that a browser needs to start it, as one script for the pages:
//
//	go run ./cmd/pagelint linter.js
//
// What lives here is the door between JavaScript and the rooms below. No rules,
// no arithmetic, and nothing that would make the program large: no git, no
// database, no network, no command line library; a test holds its size and its
// dependencies.
//
//go:build !js

package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
)

func main() {
	if len(os.Args) != 2 || os.Args[1] == "--help" {
		fmt.Fprintln(os.Stderr, "usage: go run ./cmd/pagelint FILE\n\nIt writes the linter for web pages to FILE, for `fourmarks publish --linter FILE`.")
		os.Exit(2)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := writeScript(ctx, os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "pagelint:", err)
		os.Exit(2)
	}
}
