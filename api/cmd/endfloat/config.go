package main

import (
	"crypto/ed25519"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/netip"
	"net/url"
	"runtime/debug"
	"slices"
	"strings"

	"endfloat/api/signature"
	"endfloat/specdb/redislink"
)

// config is what flags and environment say. The zero value is not ready; parse fills it.
type config struct {
	addr      string
	proxies   []string
	catalogue string
	archive   string
	publicURL string
	contact   string
	signing   signature.Keys
	redis     redislink.Target // zero: none
	publisher []ed25519.PublicKey
	level     slog.Level
	version   bool

	operating
	calling
}

// option is one flag with its environment variable.
type option struct {
	name, preset, about string
	set                 func(string) error
}

func (c *config) options() []option {
	return append([]option{
		{"addr", presetAddr, "address to serve on; port 0 picks a free one and prints it", func(v string) error {
			c.addr = v
			return checkAddr(v)
		}},
		{"catalogue", "", "directory or snapshot of the catalogue to serve instead of the embedded demo; read again when it changes and on SIGHUP", func(v string) error {
			c.catalogue = v
			return nil
		}},
		{"archive", "", "directory in which revisions are kept, so that old ones can be replayed; needs --catalogue or --redis, and with --redis also keeps the last good copy", func(v string) error {
			c.archive = v
			return nil
		}},
		{redisFlag, "", "Redis whose published revision is served and followed; while it is away the last good copy in --archive serves, else --catalogue, else the demo", c.setRedis},
		{publisherFlag, "", "Ed25519 public keys of the publishers: a file, or the keys themselves, as PEM or JWK; a revision in --redis that none of them signed is refused", c.setPublisher},
		{"public-url", "", "where callers reach the service, such as https://limits.example; addresses stay relative without it", c.setPublicURL},
		{"security-contact", "", "URI (mailto:, https: or tel:) in security.txt; the mailbox security at the public host without it", c.setContact},
		{secret, "", "Ed25519 key that signs sheets: a file, or the key itself, as PEM or JWK; keys after it are retired ones, which only check; without it sheets are unsigned", c.setSigning},
		{"trusted-proxies", "", "addresses or networks, comma-separated, whose forwarded addresses are believed", c.setProxies},
		{"log-level", "info", "least level that is logged: debug, info, warn, error", func(v string) error {
			return c.level.UnmarshalText([]byte(v))
		}},
	}, slices.Concat(c.calling.options(), c.operating.options())...)
}

// presetAddr is where the service serves unless told otherwise.
const presetAddr = "127.0.0.1:8080"

func checkAddr(v string) error {
	_, port, err := net.SplitHostPort(v)
	if err != nil {
		return errors.New("want host:port, such as 127.0.0.1:8080")
	}
	if _, err := net.LookupPort("tcp", port); err != nil {
		return errors.New("no such port: " + port)
	}
	return nil
}

func (c *config) setPublicURL(v string) error {
	if v == "" {
		return nil
	}
	u, err := url.Parse(v)
	if err != nil || (u.Scheme != "http" && u.Scheme != "https") || u.Host == "" || u.RawQuery != "" || u.Fragment != "" || u.User != nil {
		return errors.New("want an address such as https://limits.example")
	}
	c.publicURL = strings.TrimRight(v, "/")
	return nil
}

// Flags whose values are never shown.
const (
	secret        = "signing-key"
	redisFlag     = "redis"
	publisherFlag = "publisher-key"
)

func hidden(name string) bool { return name == secret || name == redisFlag || name == publisherFlag }

func (c *config) setRedis(v string) (err error) {
	if v != "" {
		c.redis, err = redislink.Parse(v)
	}
	return err
}

func (c *config) setPublisher(v string) error {
	keys, err := signature.Load(v)
	c.publisher = keys.Public()
	return err
}

func (c *config) setSigning(v string) (err error) {
	if c.signing, err = signature.Load(v); err == nil && v != "" && !c.signing.CanSign() {
		err = errors.New("there is no private key in it")
	}
	return err
}

func (c *config) setContact(v string) error {
	u, err := url.Parse(v)
	if v != "" && (err != nil || (u.Scheme != "mailto" && u.Scheme != "https" && u.Scheme != "tel") || strings.ContainsAny(v, "\r\n ")) {
		return errors.New("want a URI such as mailto:security@limits.example")
	}
	c.contact = v
	return nil
}

func (c *config) setProxies(v string) error {
	for p := range strings.SplitSeq(v, ",") {
		p = strings.TrimSpace(p)
		if p == "" {
			continue
		}
		_, errNet := netip.ParsePrefix(p)
		_, errAddr := netip.ParseAddr(p)
		if errNet != nil && errAddr != nil {
			return errors.New("no address or network: " + p)
		}
		c.proxies = append(c.proxies, p)
	}
	return nil
}

// parse reads the flags, then the environment for flags that were not given, then the presets.
func parse(args []string, env func(string) string, out io.Writer) (*config, error) {
	c := &config{}
	fs := flag.NewFlagSet("endfloat", flag.ContinueOnError)
	fs.SetOutput(io.Discard)
	given := map[string]*string{}
	options := c.options()
	for _, o := range options {
		given[o.name] = fs.String(o.name, "", o.about)
	}
	fs.BoolVar(&c.version, "version", false, "print the version and exit")
	if err := fs.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			help(out, options)
		}
		return nil, err
	}
	if fs.NArg() > 0 {
		return nil, fmt.Errorf("no such command: %q", fs.Arg(0))
	}
	set := map[string]bool{}
	fs.Visit(func(f *flag.Flag) { set[f.Name] = true })
	for _, o := range options {
		value, from := o.preset, "--"+o.name
		if v := env(variable(o.name)); v != "" {
			value, from = v, variable(o.name)
		}
		if set[o.name] {
			value, from = *given[o.name], "--"+o.name
		}
		if err := o.set(value); err != nil {
			if hidden(o.name) {
				value = "…"
			}
			return nil, fmt.Errorf("%s %q: %w", from, value, err)
		}
	}
	if c.archive != "" && c.catalogue == "" && c.redis.IsZero() {
		return nil, errors.New("--archive needs --catalogue or --redis: the demo that is built in is not archived")
	}
	if len(c.publisher) > 0 && c.redis.IsZero() {
		return nil, errors.New("--publisher-key needs --redis: files are not signed")
	}
	return c, nil
}

// variable is the environment variable of a flag.
func variable(name string) string {
	return "ENDFLOAT_" + strings.ToUpper(strings.ReplaceAll(name, "-", "_"))
}

func help(out io.Writer, options []option) {
	fmt.Fprint(out, `endfloat serves limits, verdicts, shim plans and torques for people who rebuild small engines.

Usage:
  endfloat [flags]                serve
  endfloat COMMAND [arguments]    see the end

Flags (each also an environment variable):
`)
	for _, o := range options {
		fmt.Fprintf(out, "  --%-16s %s", o.name, o.about)
		if o.preset != "" {
			fmt.Fprintf(out, " (%s)", o.preset)
		}
		fmt.Fprintf(out, "\n  %-18s %s\n", "", variable(o.name))
	}
	fmt.Fprint(out, `  --version          print the version and exit
  --help             print this

How --redis is written:
`+redislink.Help+`
Try it:
  endfloat &
  endfloat ask pl-85/counter-shaft

Commands; --help behind one explains it:
`)
	for _, v := range verbs() {
		fmt.Fprintf(out, "  endfloat %-11s %s\n", v.name, v.about)
	}
}

// built is the revision of the source, set by the linker where no repository is at hand (-X main.built=…); see version.
var built string

// version is the revision of the source it was built from, or else the module version.
func version() string {
	if built != "" {
		return built[:min(12, len(built))]
	}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	revision, dirty := "", ""
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			revision = s.Value[:min(12, len(s.Value))]
		case s.Key == "vcs.modified" && s.Value == "true":
			dirty = "+changed"
		}
	}
	if revision == "" {
		return info.Main.Version
	}
	return revision + dirty
}
