package client

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"strings"
	"sync/atomic"
	"time"
)

// DefaultServer is asked where no other is named.
const DefaultServer = "http://127.0.0.1:8080"

// Times and sizes of one exchange.
const (
	attemptTime = 90 * time.Second // a whole exchange; the service itself ends one sooner
	dialTime    = 10 * time.Second
	mostAnswer  = 256 << 20 // bytes of one answer
)

// Options are how the service is reached. The zero value asks DefaultServer without a key and does not try again.
type Options struct {
	Server string // such as https://limits.example, with a path in front of /v1 where there is one
	Key    string // sent as a bearer token; empty: none is sent
	// Patience is how long one request is tried again while the service cannot be reached or says "not now" (429, 502,
	// 503, 504); 0 tries once.
	Patience time.Duration
	// FirstPatience is the same while nothing at all listens and the service has never answered: then it is probably not
	// running. 0: Patience.
	FirstPatience time.Duration
	// Waiting hears of every wait before another try; nil: nobody does.
	Waiting func(cause error, wait time.Duration)
	// Transport carries the exchanges; nil: one of its own, which takes proxies from the environment.
	Transport http.RoundTripper
}

// Client asks one service. It is safe for concurrent use.
type Client struct {
	base    *url.URL
	options Options
	http    *http.Client
	met     atomic.Bool // the service has answered
}

// New makes a client. Errors: an address that is not http or https, and a key that no header field can carry.
func New(o Options) (*Client, error) {
	if o.Server == "" {
		o.Server = DefaultServer
	}
	base, err := url.Parse(o.Server)
	if err != nil || (base.Scheme != "http" && base.Scheme != "https") || base.Host == "" || base.RawQuery != "" || base.Fragment != "" || base.User != nil {
		return nil, fmt.Errorf("the server %q is no address such as %s", redacted(base, o.Server), DefaultServer)
	}
	if strings.ContainsFunc(o.Key, func(r rune) bool { return r <= ' ' || r > '~' }) {
		return nil, errors.New("the key has characters that no key has")
	}
	base.Path = strings.TrimRight(base.Path, "/")
	if o.Transport == nil {
		o.Transport = transport(near(base.Hostname()))
	}
	return &Client{base: base, options: o, http: &http.Client{Transport: o.Transport, Timeout: attemptTime,
		// An answer from elsewhere is not this service's, and a key belongs to one host.
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}, nil
}

func redacted(u *url.URL, text string) string {
	if u == nil || u.User == nil {
		return text
	}
	return u.Redacted()
}

// KeyInTheOpen reports whether the key crosses a network that is not loopback without encryption.
func (c *Client) KeyInTheOpen() bool {
	return c.options.Key != "" && c.base.Scheme == "http" && !near(c.base.Hostname())
}

// near reports whether a host is this machine.
func near(host string) bool {
	addr, err := netip.ParseAddr(host)
	return host == "localhost" || err == nil && addr.Unmap().IsLoopback()
}

// transport packs answers only where they cross a network.
func transport(local bool) *http.Transport {
	t := &http.Transport{Proxy: http.ProxyFromEnvironment, DialContext: (&net.Dialer{Timeout: dialTime}).DialContext,
		TLSHandshakeTimeout: dialTime, ForceAttemptHTTP2: true, MaxIdleConnsPerHost: MostInFlight, IdleConnTimeout: time.Minute,
		DisableCompression: local}
	return t
}

// call is one exchange to be had. A body may be sent several times.
type call struct {
	method, path string
	query        url.Values
	media, form  string // of what is asked for and of the body
	lang         string
	body         []byte
}

// answer is what came back with status 200.
type answer struct {
	header http.Header
	body   []byte
}

// send has one exchange, without another try.
func (c *Client) send(ctx context.Context, q call) (*answer, error) {
	to := c.base.JoinPath(q.path)
	query := maps.Clone(q.query)
	if q.lang != "" { // not as a header, which an unknown language would be passed over in
		if query == nil {
			query = url.Values{}
		}
		query.Set("lang", q.lang)
	}
	to.RawQuery = query.Encode()
	req, err := http.NewRequestWithContext(ctx, q.method, to.String(), bytes.NewReader(q.body))
	if err != nil {
		return nil, err
	}
	req.Header.Set("Accept", q.media+", application/problem+json")
	req.Header.Set("User-Agent", "endfloat-client")
	if q.form != "" {
		req.Header.Set("Content-Type", q.form)
	}
	if c.options.Key != "" {
		req.Header.Set("Authorization", "Bearer "+c.options.Key)
	}
	res, err := c.http.Do(req)
	if err != nil {
		return nil, c.unreached(err)
	}
	c.met.Store(true)
	defer func() { _ = res.Body.Close() }() // what was read is what counts
	body, err := read(res)
	if err != nil {
		return nil, err
	}
	if res.StatusCode != http.StatusOK {
		return nil, refusal(res, body)
	}
	return &answer{res.Header, body}, nil
}

// read takes a body whole: a batch is answered whole, and its length says how much room it needs.
func read(res *http.Response) ([]byte, error) {
	var b bytes.Buffer
	if n := res.ContentLength; n > 0 && n <= mostAnswer {
		b.Grow(int(n) + bytes.MinRead)
	}
	n, err := b.ReadFrom(io.LimitReader(res.Body, mostAnswer+1))
	if err == nil && n > mostAnswer {
		err = fmt.Errorf("the answer is longer than %d MiB", mostAnswer>>20)
	}
	return b.Bytes(), err
}
