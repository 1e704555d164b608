package main

import (
	"context"
	"errors"
	"io"

	"endfloat/api/client"
)

// askHelp is what endfloat ask --help prints.
const askHelp = `endfloat ask KEY looks one thing up at a running service. The first line is what is needed, with its warnings.

KEY is a family, family/component, family/component/spec, a set of shims written like a spec, or a part number.

  --server URL        the service (http://127.0.0.1:8080)
                      ENDFLOAT_SERVER
  --key-file FILE     file with an API key; else the variable, and none is needed
                      ENDFLOAT_API_KEY
  --unit UNIT         mm, µm, in, thou, N·m, lbf·ft …, or imperial or metric for whatever has a unit
  --lang LANG         en, de, fr, it, es
  --variant ID        of the engine
  --engine-number N   as stamped
  --output FORM       text (default), csv (a row for each spec) or json
  --retry-for TIME    try again for so long while the service cannot be reached or is busy (2m0s; 0 tries once;
                      3s where it never answered and this is not given)

  endfloat ask pl-85/counter-shaft/key-bolt
  endfloat ask pl-85/counter-shaft --unit imperial --lang fr
  endfloat ask PL-SH-110

Exit codes: 0 done, 2 it could not be done.
`

// asking is one run of endfloat ask.
type asking struct {
	*remote
	question client.Question
}

func newAsk(env func(string) string, out, diag io.Writer) *asking {
	a := &asking{remote: newRemote("endfloat ask", env, out, diag)}
	a.flags.StringVar(&a.question.Unit, "unit", "", "")
	a.flags.StringVar(&a.question.Variant, "variant", "", "")
	a.flags.StringVar(&a.question.EngineNumber, "engine-number", "", "")
	return a
}

// askCommand runs endfloat ask KEY and says how it went as an exit code.
func askCommand(ctx context.Context, args []string, env func(string) string, out, diag io.Writer) int {
	a := newAsk(env, out, diag)
	r, q := a.remote, &a.question
	words, err := readWords(r.flags, args)
	if err == nil && len(words) != 1 {
		err = errors.New("want one KEY; endfloat ask --help shows which")
	}
	if err == nil && r.output == "" {
		r.output = "text"
	}
	if err == nil {
		err = r.shows("text", "table", "csv", "json")
	}
	if err != nil {
		return r.failed(err, askHelp)
	}
	c, err := r.client()
	if err != nil {
		return r.failed(err, askHelp)
	}
	q.Key, q.Lang, q.Output = words[0], r.lang, r.output
	if err := c.Ask(ctx, out, *q); err != nil {
		return r.failed(err, askHelp)
	}
	return exitDone
}
