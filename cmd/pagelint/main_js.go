package main

import (
	"encoding/json"
	"fmt"
	"syscall/js"
)

// main gives the page an object pagelint whose functions take and return JSON
// as text, and waits to be called.
func main() {
	functions := map[string]func([]byte) ([]byte, error){"check": check, "outline": outline, "compose": compose, "judge": judge}
	object := map[string]any{}
	for name, f := range functions {
		object[name] = js.FuncOf(func(_ js.Value, args []js.Value) any {
			if len(args) != 1 || args[0].Type() != js.TypeString {
				return failure(fmt.Errorf("%s takes one text", name))
			}
			out, err := guarded(f, []byte(args[0].String()))
			if err != nil {
				return failure(err)
			}
			return string(out)
		})
	}
	js.Global().Set("pagelint", object)
	select {}
}

// guarded keeps the program alive when a rule has a mistake in it: what is typed
// next can still be checked.
func guarded(f func([]byte) ([]byte, error), in []byte) (out []byte, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("this is a mistake in the linter, not in what was typed: %v", p)
		}
	}()
	return f(in)
}

// failure is what the page gets when nothing could be checked.
func failure(err error) string {
	b, _ := json.Marshal(map[string]string{"error": err.Error()}) // of two texts: cannot fail
	return string(b)
}
