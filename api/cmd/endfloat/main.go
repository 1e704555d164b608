// Command endfloat serves limits, verdicts, shim plans and torques for people who rebuild small engines.
//
//	endfloat                       serve the embedded demo catalogue on 127.0.0.1:8080
//	endfloat --catalogue ./shop    serve a shop's own catalogue
//	endfloat catalogue check DIR   write and check one: endfloat catalogue --help
//	endfloat probe                 is it ready? for health checks
//	endfloat ask KEY               what is allowed, from a running service
//	endfloat judge FILE.csv        verdicts on a table of readings, from a running service
//	endfloat --help                every flag and its environment variable
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/signal"
	"syscall"
)

// Exit codes.
const (
	exitDone   = 0
	exitCannot = 2
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := command(ctx, os.Args[1:], os.Getenv, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// command runs what the arguments ask for and says how it went as an exit code.
func command(ctx context.Context, args []string, env func(string) string, out, diag io.Writer) int {
	if len(args) > 0 {
		for _, v := range verbs() {
			if v.name == args[0] {
				return v.run(ctx, args[1:], env, out, diag)
			}
		}
	}
	cfg, err := parse(args, env, out)
	switch {
	case errors.Is(err, flag.ErrHelp):
		return exitDone
	case err != nil:
		fmt.Fprintf(diag, "endfloat: %v; endfloat --help lists every flag\n", err)
		return exitCannot
	case cfg.version:
		fmt.Fprintln(out, "endfloat "+version())
		return exitDone
	}
	log := slog.New(slog.NewJSONHandler(diag, &slog.HandlerOptions{Level: cfg.level}))
	if err := run(ctx, cfg, log, out); err != nil {
		fmt.Fprintf(diag, "endfloat: %v\n", err)
		return exitCannot
	}
	return exitDone
}
