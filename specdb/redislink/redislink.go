// Package redislink reads the address of a Redis: one server, a set behind Sentinel, or a Cluster.
//
// It decides which forms an address has, and that no secret of it is ever shown. It refuses to know what is kept there.
//
//	target, err := redislink.Parse("rediss://reader:…@redis.example:6379/0?tls_ca=/etc/redis/ca.pem")
//	client := redis.NewUniversalClient(target.Options())
package redislink

import (
	"context"
	"crypto/tls"
	"log/slog"
	"slices"
	"strings"

	"github.com/redis/go-redis/v9"
	"github.com/redis/go-redis/v9/maintnotifications"
)

// Help is how an address is written, for whoever reads --help.
const Help = `redis://[user:password@]host[:6379][/db]   one server; rediss:// speaks TLS
  ?master_name=NAME                        the hosts are Sentinels (port 26379) that know NAME;
                                           sentinel_username, sentinel_password for themselves
  ?cluster=true                            the hosts are nodes of a Cluster
  &addr=host:port                          another Sentinel or node; may be given again
  &password_file=FILE                      the password, out of sight
  &tls_ca=FILE &tls_cert=FILE &tls_key=FILE &tls_server_name=NAME   with rediss:// alone
`

// Kind is what stands at an address.
type Kind string

// The kinds.
const (
	Single   Kind = "single"
	Sentinel Kind = "sentinel"
	Cluster  Kind = "cluster"
)

// Target is an address that was read. The zero value is none. A Target is immutable and safe for concurrent use.
type Target struct {
	kind                       Kind
	addrs                      []string
	db                         int
	username, password, master string
	sentinelUser, sentinelPass string
	tls                        *tls.Config
}

// IsZero reports whether there is no address.
func (t Target) IsZero() bool { return len(t.addrs) == 0 }

// Kind is what stands there.
func (t Target) Kind() Kind { return t.kind }

// String shows where it leads, without user, password and files.
func (t Target) String() string {
	if t.IsZero() {
		return ""
	}
	scheme := "redis"
	if t.tls != nil {
		scheme = "rediss"
	}
	s := scheme + "://" + strings.Join(t.addrs, ",")
	if t.kind != Single {
		s += " (" + string(t.kind) + ")"
	}
	return s
}

// GoString keeps %#v from showing what String hides.
func (t Target) GoString() string { return "redislink.Target(" + t.String() + ")" }

// LogValue keeps a log from showing what String hides.
func (t Target) LogValue() slog.Value { return slog.StringValue(t.String()) }

// Options are those of a client, with times left at their presets: contexts are heeded, nothing is told about the client,
// nothing is asked for that an access list would have to allow, and no reply can ask for more memory than there is. Each
// call makes new ones, which the caller may change.
func (t Target) Options() *redis.UniversalOptions {
	o, _ := t.Cuttable()
	return o
}

func (t Target) plain() *redis.UniversalOptions {
	o := &redis.UniversalOptions{
		Addrs: slices.Clone(t.addrs), DB: t.db, Username: t.username, Password: t.password,
		MasterName: t.master, SentinelUsername: t.sentinelUser, SentinelPassword: t.sentinelPass,
		IsClusterMode: t.kind == Cluster, ContextTimeoutEnabled: true, DisableIdentity: true,
		MaintNotificationsConfig: &maintnotifications.Config{Mode: maintnotifications.ModeDisabled},
	}
	if t.tls != nil {
		o.TLSConfig = t.tls.Clone()
	}
	return o
}

// Quiet hands what the client library says to a log, at the level debug. It is for the whole process: main calls it once,
// before there is a client.
func Quiet(log *slog.Logger) {
	redis.SetLogger(quiet{log})
}

type quiet struct{ log *slog.Logger }

// Printf leaves the values out: they may hold what was sent.
func (q quiet) Printf(ctx context.Context, format string, _ ...any) {
	q.log.DebugContext(ctx, "redis", slog.String("says", format))
}
