// Program fourmarks keeps the setting figures of old engines: it checks them
// against one another, finds and shows them, and puts their files in order.
//
// This folder reads arguments, calls the rooms below and prints; it holds no
// arithmetic and no rules. One file holds one command.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
)

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(800) // files pass through one by one: little stays, so collecting seldom costs little
	}
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(1 << 30) // beyond a gibibyte it is collected more often after all
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := Run(ctx, os.Args[1:], Streams{In: os.Stdin, Out: os.Stdout, Err: os.Stderr}, os.Getenv)
	stop()
	os.Exit(code)
}
