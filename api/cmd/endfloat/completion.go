package main

import (
	"context"
	"embed"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"time"

	"endfloat/api/client"
)

// completionHelp is what endfloat completion --help prints.
const completionHelp = `endfloat completion SHELL prints what bash, zsh or fish needs to complete commands, flags, their words, and keys, which are
asked of the service that ENDFLOAT_SERVER or --server names.

  bash   source <(endfloat completion bash)          in ~/.bashrc
  zsh    source <(endfloat completion zsh)           in ~/.zshrc, behind compinit
  fish   endfloat completion fish > ~/.config/fish/completions/endfloat.fish
`

//go:embed completion
var completions embed.FS

// shells are those that there is a script for, with its file.
func shells() map[string]string {
	return map[string]string{"bash": "completion/endfloat.bash", "zsh": "completion/endfloat.zsh", "fish": "completion/endfloat.fish"}
}

// completionCommand runs endfloat completion SHELL. The scripts are short: they call endfloat completion words, so that
// all shells offer the same and there is one place that knows what.
func completionCommand(ctx context.Context, args []string, env func(string) string, out, diag io.Writer) int {
	switch {
	case len(args) >= 2 && args[0] == "words" && args[1] == "--":
		for _, w := range offered(ctx, args[2:], env) {
			fmt.Fprintln(out, w)
		}
		return exitDone
	case askedForHelp(args):
		fmt.Fprint(out, completionHelp)
		return exitDone
	case len(args) == 1 && shells()[args[0]] != "":
		script, err := completions.ReadFile(shells()[args[0]])
		if err != nil {
			fmt.Fprintf(diag, "endfloat completion: %v\n", err)
			return exitCannot
		}
		_, _ = out.Write(script) // nobody reads any more
		return exitDone
	}
	fmt.Fprintf(diag, "endfloat completion: want one of %s; endfloat completion --help says where it goes\n", strings.Join(slices.Sorted(maps.Keys(shells())), ", "))
	return exitCannot
}

// anyFile in a list of words stands for the names of files.
const anyFile = ":file"

// keysTime is how long keys are waited for: a shell stands still meanwhile.
const keysTime = time.Second

// offered is what may stand where the last of the words begins.
func offered(ctx context.Context, words []string, env func(string) string) []string {
	if len(words) == 0 {
		return nil
	}
	begun := words[len(words)-1]
	if len(words) == 1 {
		return beginning(begun, append(names(), serving()...))
	}
	i := slices.IndexFunc(verbs(), func(v verb) bool { return v.name == words[0] })
	if i < 0 {
		return flagged(words[len(words)-2], begun, serving())
	}
	v := verbs()[i]
	var flags []string
	if v.flags != nil {
		v.flags().VisitAll(func(f *flag.Flag) { flags = append(flags, dashed(f.Name)) })
	}
	if got := flagged(words[len(words)-2], begun, flags); got != nil || strings.HasPrefix(begun, "-") {
		return got
	}
	switch {
	case v.name == "ask":
		return keys(ctx, words, env)
	case v.words != nil && len(words) == 2:
		return beginning(begun, v.words())
	}
	return []string{anyFile}
}

func names() []string {
	var list []string
	for _, v := range verbs() {
		list = append(list, v.name)
	}
	return list
}

// serving is the flags of the service itself.
func serving() []string {
	list := []string{"--help", "--version"}
	for _, o := range (&config{}).options() {
		list = append(list, dashed(o.name))
	}
	return list
}

func dashed(name string) string {
	if len(name) == 1 {
		return "-" + name
	}
	return "--" + name
}

// flagged is what may follow a flag, or the flags that begin so; nil where the word is neither.
func flagged(before, begun string, flags []string) []string {
	if strings.HasPrefix(before, "-") && slices.Contains(flags, before) {
		switch before {
		case "--lang":
			return beginning(begun, []string{"en", "de", "fr", "it", "es"})
		case "--output":
			return beginning(begun, []string{"table", "text", "csv", "json"})
		case "--unit":
			return beginning(begun, []string{"mm", "um", "in", "thou", "N.m", "lbf.ft", "lbf.in", "imperial", "metric"})
		case "--delimiter":
			return beginning(begun, []string{"comma", "semicolon", "tab"})
		case "--decimal":
			return beginning(begun, []string{"point", "comma"})
		case "--log-level":
			return beginning(begun, []string{"debug", "info", "warn", "error"})
		case "-o", "--key-file", "--catalogue", "--archive", "--keys", "--signing-key", "--publisher-key":
			return []string{anyFile}
		case "--quiet", "--help", "--version":
		default:
			return []string{} // a value of which nothing is known
		}
	}
	if strings.HasPrefix(begun, "-") {
		return beginning(begun, flags)
	}
	return nil
}

// beginning is the words that begin so; not nil.
func beginning(begun string, words []string) []string {
	fit := []string{}
	for _, w := range words {
		if strings.HasPrefix(w, begun) && !slices.Contains(fit, w) {
			fit = append(fit, w)
		}
	}
	return fit
}

// keys asks the service, quickly and quietly.
func keys(ctx context.Context, words []string, env func(string) string) []string {
	a := newAsk(env, io.Discard, io.Discard)
	if _, err := readWords(a.flags, words[1:len(words)-1]); err != nil && !errors.Is(err, flag.ErrHelp) {
		return nil
	}
	c, err := client.New(client.Options{Server: a.server, Key: env(keyVariable)})
	if err != nil {
		return nil
	}
	ctx, cancel := context.WithTimeout(ctx, keysTime)
	defer cancel()
	found, err := c.Complete(ctx, words[len(words)-1])
	if err != nil {
		return nil // nobody can be told here
	}
	return found
}
