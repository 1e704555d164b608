package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"endfloat/api/quota"
	"endfloat/specdb/keyfile"
	"endfloat/specdb/redislink"
	"endfloat/specdb/revocation"
)

// keysHelp is what endfloat keys --help prints.
const keysHelp = `endfloat keys new --name OWNER [flags]   make a key and print it, once: the file keeps its hash alone
endfloat keys list                       the keys in the file: id, owner, times, quota, policy
endfloat keys revoke ID...               end keys, at once

Flags of all:
  --keys FILE              the file; ENDFLOAT_KEYS without it. Services read it again within seconds
Flags of revoke:
  --redis URL              tell the services of this Redis as well, also those that the file reaches later;
                           ENDFLOAT_REDIS without it
Flags of new:
  --name OWNER             whom the key is for; several keys of one owner stand beside each other and share a quota
  --replaces ID            take owner, quota and policy from this key, which stays good for --grace
  --grace TIME             such as 72h; 168h without it
  --expires TIME           such as 2160h, or a date such as 2027-12-31, until which the key is good; always without it
  --quota UNITS/TIME       such as 60000/1m, or off; that of the service's --key-quota without it
  --policy NAME            hold whoever has the key to a policy, with:
    --rule guarded|simple, --guard U|1.65u, --min-probability 0.99, --require-uncertainty

  endfloat keys new --keys keys.json --name dealer --quota 60000/1m
  endfloat keys new --keys keys.json --replaces ID --grace 72h
  endfloat keys list --keys keys.json
  endfloat keys revoke --keys keys.json ID

Callers send it as Authorization: Bearer KEY. Exit codes: 0 done, 1 revoked in the file but Redis was not told, 2 it
could not be done.
`

// office is one run of endfloat keys.
type office struct {
	out, diag io.Writer
	env       func(string) string
	now       time.Time
	file      string
	redis     string
}

// keysCommand runs endfloat keys VERB and says how it went as an exit code.
func keysCommand(ctx context.Context, args []string, env func(string) string, out, diag io.Writer) int {
	if len(args) == 0 || args[0] == "help" || args[0] == "--help" || args[0] == "-h" {
		fmt.Fprint(out, keysHelp)
		return exitDone
	}
	o := &office{out: out, diag: diag, env: env, now: time.Now()}
	verb, ok := map[string]func(context.Context, []string) (int, error){"new": o.issue, "list": o.list, "revoke": o.revoke}[args[0]]
	if !ok {
		fmt.Fprintf(diag, "endfloat keys: there is no %q; endfloat keys --help lists what there is\n", args[0])
		return exitCannot
	}
	code, err := verb(ctx, args[1:])
	switch {
	case errors.Is(err, flag.ErrHelp):
		fmt.Fprint(out, keysHelp)
		return exitDone
	case err != nil:
		fmt.Fprintf(diag, "endfloat keys %s: %v\n", args[0], err)
		return exitCannot
	}
	return code
}

// parse reads flags and words in any order.
func (o *office) parse(args []string, set func(*flag.FlagSet)) (words []string, err error) {
	f := flag.NewFlagSet("endfloat keys", flag.ContinueOnError)
	f.StringVar(&o.file, "keys", o.env(variable("keys")), "")
	if set != nil {
		set(f)
	}
	if words, err = readWords(f, args); err == nil && o.file == "" {
		err = errors.New("no file is named; want --keys FILE, or ENDFLOAT_KEYS")
	}
	return words, err
}

// wish is what the flags of new say.
type wish struct {
	name, replaces, grace, expires, quota string
	policy, rule, guard, least            string
	require                               bool
}

func (o *office) issue(_ context.Context, args []string) (int, error) {
	var w wish
	words, err := o.parse(args, func(f *flag.FlagSet) {
		for name, into := range map[string]*string{"name": &w.name, "replaces": &w.replaces, "expires": &w.expires, "quota": &w.quota,
			"policy": &w.policy, "rule": &w.rule, "guard": &w.guard, "min-probability": &w.least} {
			f.StringVar(into, name, "", "")
		}
		f.StringVar(&w.grace, "grace", "168h", "")
		f.BoolVar(&w.require, "require-uncertainty", false, "")
	})
	if err != nil {
		return 0, err
	}
	if len(words) > 0 {
		return 0, fmt.Errorf("%q is no flag of new", words[0])
	}
	entry, err := w.entry(o.now)
	if err != nil {
		return 0, err
	}
	grace, err := time.ParseDuration(w.grace)
	if err != nil || grace < 0 {
		return 0, errors.New("--grace is a time such as 72h")
	}
	var made keyfile.Made
	err = keyfile.Update(o.file, func(keys []keyfile.Entry) ([]keyfile.Entry, error) {
		if w.replaces != "" {
			old, err := keyfile.Of(keys, w.replaces)
			if err != nil {
				return nil, err
			}
			if !old.Good(o.now) {
				return nil, fmt.Errorf("%s is not good any more; nothing takes its place", old.ID)
			}
			entry.Name, entry.Quota, entry.Policy = old.Name, old.Quota, old.Policy
			if end := o.now.Add(grace).UTC().Truncate(time.Second); old.Expires.IsZero() || end.Before(old.Expires) {
				old.Expires = end
			}
		}
		made = keyfile.Issue(entry, o.now)
		return append(keys, made.Entry), nil
	})
	if err != nil {
		return 0, err
	}
	fmt.Fprintln(o.out, made.Secret)
	fmt.Fprintf(o.diag, "This is key %s of %s; it is shown this once. %s keeps its hash.\n", made.Entry.ID, made.Entry.Name, o.file)
	return exitDone, nil
}

// entry is the key that is wished for, as far as the flags say.
func (w *wish) entry(now time.Time) (e keyfile.Entry, err error) {
	policed := w.policy != "" || w.rule != "" || w.guard != "" || w.least != "" || w.require
	switch {
	case w.replaces != "" && (w.name != "" || w.quota != "" || policed):
		return e, errors.New("--replaces takes owner, quota and policy from the key that it names")
	case w.replaces == "" && w.name == "":
		return e, errors.New("whom is the key for? want --name OWNER")
	case w.replaces == "" && keyfile.CheckName(w.name) != nil:
		return e, keyfile.CheckName(w.name)
	case policed && w.policy == "":
		return e, errors.New("a policy has a name: want --policy NAME")
	}
	e.Name = w.name
	if e.Expires, err = until(w.expires, now); err != nil {
		return e, err
	}
	if w.quota != "" {
		q, err := quota.Parse(w.quota)
		if err != nil {
			return e, fmt.Errorf("--quota: %w", err)
		}
		e.Quota = &keyfile.Quota{Unlimited: !q.Limited()}
		if q.Limited() {
			e.Quota.Units, e.Quota.Seconds = q.Units, int64(q.Window/time.Second)
		}
	}
	if policed {
		e.Policy = &keyfile.Policy{Name: w.policy, Rule: w.rule, Guard: w.guard, RequireUncertainty: w.require}
		if w.least != "" {
			p, err := strconv.ParseFloat(w.least, 64)
			if err != nil {
				return e, errors.New("--min-probability is a number from 0 to 1")
			}
			e.Policy.MinProbability = &p
		}
	}
	return e, nil
}

// lastYear begins after every date that --expires takes.
const lastYear = 3000

// until is the end of a time from now, or of a day in UTC; zero where nothing is said.
func until(text string, now time.Time) (time.Time, error) {
	if text == "" {
		return time.Time{}, nil
	}
	if d, err := time.ParseDuration(text); err == nil && d > 0 {
		return now.Add(d).UTC().Truncate(time.Second), nil
	}
	day, err := time.Parse(time.DateOnly, text)
	if err != nil || !day.AddDate(0, 0, 1).After(now) || day.Year() >= lastYear {
		return time.Time{}, errors.New("--expires is a time such as 2160h, or a date to come such as 2027-12-31, before the year 3000")
	}
	return day.AddDate(0, 0, 1), nil
}

func (o *office) list(_ context.Context, args []string) (int, error) {
	words, err := o.parse(args, nil)
	if err != nil {
		return 0, err
	}
	if len(words) > 0 {
		return 0, fmt.Errorf("%q is no flag of list", words[0])
	}
	keys, err := keyfile.Read(o.file)
	if err != nil {
		return 0, err
	}
	table := tabwriter.NewWriter(o.out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "id\towner\tstate\tcreated\texpires\tquota\tpolicy")
	for _, e := range keys {
		state := "good"
		switch {
		case !e.Revoked.IsZero():
			state = "revoked " + e.Revoked.Format(time.RFC3339)
		case !e.Good(o.now):
			state = "expired"
		}
		fmt.Fprintln(table, strings.Join([]string{e.ID, e.Name, state, e.Created.Format(time.RFC3339), orDash(e.Expires), quotaText(e.Quota), policyText(e.Policy)}, "\t"))
	}
	return exitDone, table.Flush()
}

func orDash(t time.Time) string {
	if t.IsZero() {
		return "-"
	}
	return t.Format(time.RFC3339)
}

func quotaText(q *keyfile.Quota) string {
	if q == nil {
		return "-"
	}
	return quotaOf(q).String()
}

func policyText(p *keyfile.Policy) string {
	if p == nil {
		return "-"
	}
	text := strings.Join(strings.Fields(p.Name+" "+p.Rule+" "+p.Guard), " ")
	if p.MinProbability != nil {
		text += " p≥" + strconv.FormatFloat(*p.MinProbability, 'f', -1, 64)
	}
	if p.RequireUncertainty {
		text += " uncertainty"
	}
	return text
}

func (o *office) revoke(ctx context.Context, args []string) (int, error) {
	ids, err := o.parse(args, func(f *flag.FlagSet) { f.StringVar(&o.redis, redisFlag, o.env(variable(redisFlag)), "") })
	if err != nil {
		return 0, err
	}
	if len(ids) == 0 {
		return 0, errors.New("which? want the ids of keys; endfloat keys list shows them")
	}
	var target redislink.Target
	if o.redis != "" {
		if target, err = redislink.Parse(o.redis); err != nil {
			return 0, fmt.Errorf("--redis: %w", err)
		}
	}
	if err := keyfile.Revoke(o.file, ids, o.now); err != nil {
		return 0, err
	}
	fmt.Fprintf(o.out, "revoked in %s: %s\n", o.file, strings.Join(ids, " "))
	if target.IsZero() {
		return exitDone, nil
	}
	list := revocation.Open(target.Options())
	defer func() { _ = list.Close() }() // it has been told, or it has not
	if err := list.Add(ctx, ids...); err != nil {
		fmt.Fprintf(o.diag, "endfloat keys revoke: redis was not told: %v\n", err)
		return exitFailed, nil
	}
	fmt.Fprintf(o.out, "told %s\n", target)
	return exitDone, nil
}
