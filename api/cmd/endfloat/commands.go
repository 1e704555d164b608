package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"slices"
)

// verb is a command below endfloat.
type verb struct {
	name, about string
	run         func(ctx context.Context, args []string, env func(string) string, out, diag io.Writer) int
	words       func() []string      // that may stand first behind it; nil: none are known
	flags       func() *flag.FlagSet // nil: none are known
}

// verbs are all commands but serving, in the order in which a stranger would want them.
func verbs() []verb {
	return []verb{
		{name: "ask", about: "look one thing up at a running service", run: askCommand, flags: func() *flag.FlagSet { return newAsk(noEnv, nil, nil).flags }},
		{name: "judge", about: "verdicts on a table of readings, however long", run: judgeCommand, flags: func() *flag.FlagSet { return newJudging(noEnv, nil, nil).flags }},
		{name: "catalogue", about: "write, check, compare and publish catalogues", run: catalogueCommand,
			words: func() []string {
				return slices.Sorted(slices.Values(slices.AppendSeq(slices.Collect(maps.Keys(catalogueVerbs())), maps.Keys(sharedVerbs()))))
			}},
		{name: "keys", about: "issue, list and revoke keys of callers", run: keysCommand, words: func() []string { return []string{"list", "new", "revoke"} }},
		{name: "probe", about: "is it ready? for health checks", run: probeCommand},
		{name: "completion", about: "what a shell needs to complete all of this", run: completionCommand, words: func() []string { return slices.Sorted(maps.Keys(shells())) }},
	}
}

// readWords reads flags and, among them in any order, the words beside them; behind -- all are words. Errors: flags that
// cannot be read.
func readWords(f *flag.FlagSet, args []string) ([]string, error) {
	f.SetOutput(io.Discard)
	var words []string
	for len(args) > 0 {
		if err := f.Parse(args); err != nil {
			return nil, explained(err, f.Name())
		}
		taken := len(args) - f.NArg()
		if taken > 0 && args[taken-1] == "--" {
			return append(words, f.Args()...), nil
		}
		if args = f.Args(); len(args) > 0 {
			words, args = append(words, args[0]), args[1:]
		}
	}
	return words, nil
}

// explained names the remedy of flags that cannot be read.
func explained(err error, command string) error {
	if err == nil || errors.Is(err, flag.ErrHelp) {
		return err
	}
	return fmt.Errorf("%w; %s --help lists every flag", err, command)
}

func noEnv(string) string { return "" }
