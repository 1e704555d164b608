package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"golang.org/x/term"

	"endfloat/api/client"
)

// remote is what endfloat ask and endfloat judge have in common: where the service is and how its answers are shown.
type remote struct {
	out, diag io.Writer
	env       func(string) string
	flags     *flag.FlagSet
	server    string
	keyFile   string
	lang      string
	output    string
	unit      string
	patience  time.Duration
}

// keyVariable holds a key. A key is no argument: everybody on the machine can read those.
const keyVariable = "ENDFLOAT_API_KEY"

func newRemote(name string, env func(string) string, out, diag io.Writer) *remote {
	r := &remote{out: out, diag: diag, env: env, flags: flag.NewFlagSet(name, flag.ContinueOnError)}
	server := env(variable("server"))
	if server == "" {
		server = client.DefaultServer
	}
	r.flags.StringVar(&r.server, "server", server, "")
	r.flags.StringVar(&r.keyFile, "key-file", "", "")
	r.flags.StringVar(&r.lang, "lang", "", "")
	r.flags.StringVar(&r.output, "output", "", "")
	r.flags.DurationVar(&r.patience, "retry-for", 2*time.Minute, "")
	return r
}

// key is the API key from the environment or a file; empty where there is none.
func (r *remote) key() (string, error) {
	if r.keyFile == "" {
		return r.env(keyVariable), nil
	}
	f, err := os.Open(r.keyFile)
	if err != nil {
		return "", err
	}
	defer func() { _ = f.Close() }() // it is only read
	text, err := io.ReadAll(io.LimitReader(f, 4<<10))
	if err != nil {
		return "", err
	}
	key := strings.TrimSpace(string(text))
	if key == "" {
		return "", fmt.Errorf("there is no key in %s", r.keyFile)
	}
	return key, nil
}

// client is what asks; it says on the side when it waits.
func (r *remote) client() (*client.Client, error) {
	key, err := r.key()
	if err != nil {
		return nil, err
	}
	c, err := client.New(client.Options{Server: r.server, Key: key, Patience: r.patience, FirstPatience: r.firstPatience(), Waiting: func(cause error, wait time.Duration) {
		fmt.Fprintf(r.diag, "%s: %v; again in %v\n", r.flags.Name(), cause, wait.Round(10*time.Millisecond))
	}})
	if err == nil && c.KeyInTheOpen() {
		fmt.Fprintf(r.diag, "%s: the key goes to %s without encryption\n", r.flags.Name(), r.server)
	}
	return c, err
}

// soon is how long a service that has never answered is tried: it is probably not running.
const soon = 3 * time.Second

// firstPatience is how long that is: as long as --retry-for says, where somebody wrote it.
func (r *remote) firstPatience() time.Duration {
	patience := soon
	r.flags.Visit(func(f *flag.Flag) {
		if f.Name == "retry-for" {
			patience = r.patience
		}
	})
	return patience
}

// shows reports whether the output is one of the words.
func (r *remote) shows(words ...string) error {
	if slices.Contains(words, r.output) {
		return nil
	}
	return fmt.Errorf("--output %q: want one of %s", r.output, strings.Join(words, ", "))
}

// failed says what went wrong and is the exit code for it.
func (r *remote) failed(err error, help string) int {
	if errors.Is(err, flag.ErrHelp) {
		fmt.Fprint(r.out, help)
		return exitDone
	}
	fmt.Fprintf(r.diag, "%s: %s%s\n", r.flags.Name(), client.Plain(err.Error()), hint(err))
	return exitCannot
}

// hint is what a person at a shell can do about an error.
func hint(err error) string {
	if _, away := errors.AsType[*client.Unreached](err); away {
		return "; start it there (endfloat alone serves), or name another service with --server or " + variable("server")
	}
	if other, ok := errors.AsType[*client.OtherDelimiter](err); ok {
		return "; say --delimiter " + other.Found + ", and --decimal comma where its numbers have a decimal comma"
	}
	return ""
}

// terminal reports whether somebody looks at it.
func terminal(w any) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd())) // a descriptor is small
}
