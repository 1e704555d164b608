package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"strings"
	"text/tabwriter"
	"time"

	"endfloat/api/signature"
	"endfloat/specdb/authoring"
	"endfloat/specdb/redislink"
	"endfloat/specdb/redisstore"
)

// sharedHelp is what the help says about the catalogue that replicas share.
const sharedHelp = `endfloat catalogue publish DIR             check a catalogue and put it in use on every replica
    --wait 30s      how long to wait for replicas to have it ready; 0s: not at all
    --keep 10       how many revisions stay in Redis
    --unsigned      may replace a signed revision without a key
endfloat catalogue rollback [REVISION]     put an earlier revision in use again, by itself the one before
    --wait 30s      as above
endfloat catalogue revisions               what is published, and who serves what

These three take --redis URL (ENDFLOAT_REDIS) and --publisher-key KEY (ENDFLOAT_PUBLISHER_KEY), which is an Ed25519 key as
PEM or JWK, or its file: publish signs with the private key, rollback asks that the revision is signed by one of its keys.
` + redislink.Help

// shared are the settings of the commands that speak with Redis.
type shared struct {
	redis, key string
	wait       time.Duration
	keep       int
	unsigned   bool
}

// sharedVerbs are the commands that speak with Redis.
func sharedVerbs() map[string]func(*desk, context.Context) (int, error) {
	return map[string]func(*desk, context.Context) (int, error){
		"publish": (*desk).publish, "rollback": (*desk).rollback, "revisions": (*desk).revisions,
	}
}

// connect reads words and settings, and opens what they name.
func (d *desk) connect(least, most int, o *shared) (words []string, keys signature.Keys, open *redisstore.Store, err error) {
	words, err = d.parse(least, most, func(f *flag.FlagSet) {
		f.StringVar(&o.redis, redisFlag, d.env(variable(redisFlag)), "")
		f.StringVar(&o.key, publisherFlag, d.env(variable(publisherFlag)), "")
		f.DurationVar(&o.wait, "wait", 30*time.Second, "")
		if least > 0 {
			f.IntVar(&o.keep, "keep", redisstore.DefaultKeep, "")
			f.BoolVar(&o.unsigned, "unsigned", false, "")
		}
	})
	if err != nil {
		return nil, keys, nil, err
	}
	if o.redis == "" {
		return nil, keys, nil, errors.New("--redis URL is missing, and ENDFLOAT_REDIS is not set")
	}
	target, err := redislink.Parse(o.redis)
	if err != nil {
		return nil, keys, nil, fmt.Errorf("--redis: %w", err)
	}
	if keys, err = signature.Load(o.key); err != nil {
		return nil, keys, nil, fmt.Errorf("--publisher-key: %w", err)
	}
	if o.wait < 0 || least > 0 && o.keep < 1 {
		return nil, keys, nil, errors.New("--wait is 0s or more, --keep 1 or more")
	}
	redislink.Quiet(slog.New(slog.DiscardHandler))
	return words, keys, redisstore.Open(target), nil
}

func (d *desk) publication(o shared) redisstore.Publication {
	return redisstore.Publication{Unsigned: o.unsigned, Wait: o.wait, Keep: o.keep, Say: func(line string) { fmt.Fprintln(d.diag, line) }}
}

func (d *desk) publish(ctx context.Context) (int, error) {
	var o shared
	words, keys, open, err := d.connect(1, 1, &o)
	if err != nil {
		return 0, err
	}
	defer func() { _ = open.Close() }() // all is answered by then
	if o.key != "" && !keys.CanSign() {
		return 0, errors.New("--publisher-key: there is no private key in it")
	}
	content, found, err := authoring.Ready(d.diag, words[0], authoring.Options{Progress: d.diag})
	if err != nil {
		return 0, err
	}
	if !found.Good() {
		return exitFailed, nil
	}
	how := d.publication(o)
	how.Private = keys.Private()
	done, err := open.Publish(ctx, content, how)
	if done.Sequence > 0 {
		d.moved(done)
	}
	return exitDone, advised(err)
}

// moved says what is in use now.
func (d *desk) moved(done redisstore.Done) {
	before := "nothing"
	if !done.Before.IsZero() {
		before = done.Before.Name
	}
	if done.Dropped > 0 {
		fmt.Fprintf(d.diag, "%d older revisions are kept no longer\n", done.Dropped)
	}
	fmt.Fprintf(d.out, "%s is in use; before it was %s\n", done.Ref.Name, before)
}

// advised adds what to do.
func advised(err error) error {
	switch {
	case errors.Is(err, redisstore.ErrConflict):
		return fmt.Errorf("%w; what they published stays: look at it (endfloat catalogue revisions), then run this again", err)
	case errors.Is(err, redisstore.ErrUnsigned):
		return fmt.Errorf("%w; give --publisher-key, or --unsigned if that is what you want", err)
	case errors.Is(err, redisstore.ErrNothing):
		return fmt.Errorf("%w; endfloat catalogue publish does that", err)
	}
	return err
}

func (d *desk) rollback(ctx context.Context) (int, error) {
	var o shared
	words, keys, open, err := d.connect(0, 1, &o)
	if err != nil {
		return 0, err
	}
	defer func() { _ = open.Close() }() // all is answered by then
	done, err := open.Rollback(ctx, strings.Join(words, ""), keys.Public(), d.publication(o))
	if err != nil {
		return 0, advised(err)
	}
	d.moved(done)
	return exitDone, nil
}

func (d *desk) revisions(ctx context.Context) (int, error) {
	var o shared
	_, _, open, err := d.connect(0, 0, &o)
	if err != nil {
		return 0, err
	}
	defer func() { _ = open.Close() }() // all is answered by then
	list, err := open.Revisions(ctx)
	if err != nil {
		return 0, err
	}
	replicas, err := open.Replicas(ctx)
	if err != nil {
		return 0, err
	}
	w := tabwriter.NewWriter(d.out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "revision\tof\tpublished\tfamilies\tkB\tsigned with\tuse")
	for _, r := range list {
		use, key := r.Use, r.Key
		if r.Fault != nil {
			use = strings.TrimSpace(use + " broken: " + r.Fault.Error())
		}
		if key == "" {
			key = "-"
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%d\t%d\t%s\t%s\n", r.Ref.Name, r.Date, r.At.UTC().Format(time.RFC3339), r.Families, (r.Size+999)/1000, key, use)
	}
	for _, r := range replicas {
		state := "serves " + r.Serves
		if r.Why != "" {
			state += "; " + r.Why
		}
		fmt.Fprintf(w, "replica %s\t%s\n", r.ID, state)
	}
	return exitDone, w.Flush()
}
