// Command noonkeep sizes the pressurised hot-water store of a plant that makes process
// heat from concentrated sun and from boilers. `noonkeep help` is its manual.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	go func() {
		<-ctx.Done()
		stop() // so that a second Ctrl-C ends the process at once
	}()
	status := run(ctx, os.Args[1:], streams{in: os.Stdin, out: os.Stdout, err: os.Stderr})
	stop()
	os.Exit(status)
}
