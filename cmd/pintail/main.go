// Command pintail serves the API and the app, and runs operations on standard
// input. `pintail help` lists what it does.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	// The first signal asks for an end; the next one gets it at once.
	context.AfterFunc(ctx, stop)
	os.Exit(Run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr, os.Getenv))
}
