package redislink

import (
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"net"
	"net/url"
	"os"
	"strconv"
	"strings"
)

// Bounds of an address.
const (
	longest   = 8 << 10
	mostAddrs = 64
	mostDB    = 1 << 10
	mostFile  = 1 << 20
)

// Parse reads an address as Help writes it, and the files that it names. Errors: any other text; they never hold a part
// of the address that may be secret.
func Parse(text string) (Target, error) {
	if len(text) > longest {
		return Target{}, errors.New("the address is too long")
	}
	u, err := url.Parse(text)
	if err != nil { // its text would show the address
		return Target{}, errors.New("this is no address; want redis://host:6379")
	}
	if u.Scheme != "redis" && u.Scheme != "rediss" {
		return Target{}, errors.New("want an address that begins with redis:// or rediss://")
	}
	if u.Fragment != "" || u.Opaque != "" {
		return Target{}, errors.New("nothing may stand behind #, and // must follow the scheme; write # in a password as %23")
	}
	query, err := url.ParseQuery(u.RawQuery)
	if err != nil {
		return Target{}, errors.New("what stands behind ? cannot be read")
	}
	p := parser{query: query, read: map[string]bool{}}
	t := p.target(u)
	for name := range query {
		if p.err == nil && !p.read[name] {
			p.err = errors.New("behind ? stands a parameter that there is not") // which one might be part of a password
		}
	}
	if p.err != nil {
		return Target{}, p.err
	}
	return t, nil
}

// parser reads the parameters and keeps the first fault.
type parser struct {
	query url.Values
	read  map[string]bool
	err   error
}

func (p *parser) fail(format string, args ...any) {
	if p.err == nil {
		p.err = fmt.Errorf(format, args...)
	}
}

// one is a parameter that may stand once.
func (p *parser) one(name string) string {
	p.read[name] = true
	if len(p.query[name]) > 1 {
		p.fail("%s is given twice", name)
	}
	return p.query.Get(name)
}

func (p *parser) target(u *url.URL) Target {
	t := Target{kind: Single, username: u.User.Username(), master: p.one("master_name"),
		sentinelUser: p.one("sentinel_username"), sentinelPass: p.one("sentinel_password")}
	t.password, _ = u.User.Password()
	if file := p.one("password_file"); file != "" {
		if t.password != "" {
			p.fail("a password and password_file are given")
		}
		t.password = strings.TrimRight(string(p.file("password_file", file)), "\r\n")
	}
	port := "6379"
	switch cluster := p.one("cluster"); {
	case cluster != "" && cluster != "true" && cluster != "false":
		p.fail("cluster is true or false")
	case t.master != "":
		t.kind, port = Sentinel, "26379"
		if cluster == "true" {
			p.fail("master_name is for Sentinels and cluster for a Cluster; only one of them can be")
		}
	case t.sentinelUser != "" || t.sentinelPass != "":
		p.fail("sentinel_username and sentinel_password need master_name")
	case cluster == "true":
		t.kind = Cluster
	}
	t.addrs = p.addrs(u, port, t.kind)
	t.db = p.db(u.Path, t.kind)
	t.tls = p.tls(u.Scheme == "rediss")
	return t
}

func (p *parser) addrs(u *url.URL, port string, kind Kind) []string {
	host, from := u.Hostname(), u.Port()
	if from == "" {
		from = port
	}
	if host == "" {
		p.fail("no host is named")
	}
	p.read["addr"] = true
	all := []string{net.JoinHostPort(host, from)}
	for _, a := range p.query["addr"] {
		h, port, err := net.SplitHostPort(a)
		if err != nil || h == "" || !isPort(port) {
			p.fail("addr wants host:port")
		}
		all = append(all, a)
	}
	if !isPort(from) {
		p.fail("the port is none")
	}
	if kind == Single && len(all) > 1 {
		p.fail("addr needs master_name or cluster=true")
	}
	if len(all) > mostAddrs {
		p.fail("more than %d hosts are named", mostAddrs)
	}
	return all
}

func isPort(s string) bool {
	n, err := strconv.ParseUint(s, 10, 16)
	return err == nil && n > 0
}

func (p *parser) db(path string, kind Kind) int {
	path = strings.TrimPrefix(path, "/")
	if path == "" {
		return 0
	}
	n, err := strconv.ParseUint(path, 10, 16)
	if err != nil || n > mostDB {
		p.fail("the database behind the host is a small number, such as /0")
	}
	if kind == Cluster && n > 0 {
		p.fail("a Cluster has database 0 alone")
	}
	return int(n)
}

func (p *parser) tls(on bool) *tls.Config {
	ca, cert, key, name := p.one("tls_ca"), p.one("tls_cert"), p.one("tls_key"), p.one("tls_server_name")
	if !on {
		if ca+cert+key+name != "" {
			p.fail("tls_… parameters need rediss://")
		}
		return nil
	}
	c := &tls.Config{MinVersion: tls.VersionTLS12, ServerName: name}
	if ca != "" {
		c.RootCAs = x509.NewCertPool()
		if !c.RootCAs.AppendCertsFromPEM(p.file("tls_ca", ca)) {
			p.fail("tls_ca: there is no PEM certificate in the file")
		}
	}
	if (cert == "") != (key == "") {
		p.fail("tls_cert and tls_key go together")
	}
	if cert != "" && key != "" && p.err == nil {
		pair, err := tls.X509KeyPair(p.file("tls_cert", cert), p.file("tls_key", key))
		if err != nil {
			p.fail("tls_cert and tls_key: %w", err)
		}
		c.Certificates = []tls.Certificate{pair}
	}
	return c
}

func (p *parser) file(parameter, name string) []byte {
	info, err := os.Stat(name)
	if err == nil && (!info.Mode().IsRegular() || info.Size() > mostFile) {
		err = errors.New("this is no file of a fitting size")
	}
	var text []byte
	if err == nil {
		text, err = os.ReadFile(name)
	}
	if err != nil {
		p.fail("%s: %w", parameter, err)
	}
	return text
}
