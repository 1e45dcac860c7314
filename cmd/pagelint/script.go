//go:build !js

package main

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// pkg is this program.
const pkg = "fourmarks.example/cmd/pagelint"

// writeScript builds the program for web pages and writes the script that holds
// it, whole or not at all.
func writeScript(ctx context.Context, name string) error {
	program, err := build(ctx)
	if err != nil {
		return err
	}
	glue, err := glue(ctx)
	if err != nil {
		return err
	}
	script, err := script(program, glue)
	if err != nil {
		return err
	}
	return write(name, script)
}

// write puts a text where it belongs when all of it is written, and leaves
// nothing behind when it cannot.
func write(name string, text []byte) error {
	t, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+"-*")
	if err != nil {
		return err
	}
	_, err = t.Write(text)
	err = errors.Join(err, t.Chmod(0o644), t.Sync(), t.Close())
	if err == nil {
		err = os.Rename(t.Name(), name)
	}
	if err != nil {
		return errors.Join(err, os.Remove(t.Name()))
	}
	return nil
}

// build compiles this program to WebAssembly. The same source and the same Go
// give the same bytes.
func build(ctx context.Context) ([]byte, error) {
	dir, err := os.MkdirTemp("", "pagelint")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	out := filepath.Join(dir, "pagelint.wasm")
	c := exec.CommandContext(ctx, "go", "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w -buildid=", "-o", out, pkg)
	c.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOFLAGS=", "CGO_ENABLED=0")
	if said, err := c.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("building for web pages: %w\n%s", err, said)
	}
	return os.ReadFile(out)
}

// glue is the script by which a page starts a Go program. It comes with Go and
// belongs to the version that the program is built by.
func glue(ctx context.Context) ([]byte, error) {
	root, err := exec.CommandContext(ctx, "go", "env", "GOROOT").Output()
	if err != nil {
		return nil, fmt.Errorf("asking Go where it lives: %w", err)
	}
	return os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
}

// script puts program and glue into one script. A page that lies in a folder may
// load scripts and nothing else, so the program stands in it as text.
func script(program, glue []byte) ([]byte, error) {
	packed, err := pack(program)
	if err != nil {
		return nil, err
	}
	holds, err := json.Marshal(map[string]string{"glue": string(glue), "program": base64.StdEncoding.EncodeToString(packed)})
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(nil, "globalThis.fourmarksLinter = %s;\n", holds), nil
}

// pack compresses as `gzip -9` does.
func pack(program []byte) ([]byte, error) {
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(program); err != nil {
		return nil, err
	}
	err = w.Close()
	return b.Bytes(), err
}
