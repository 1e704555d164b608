package quota

import (
	"fmt"
	"net/http"
	"net/netip"
	"slices"
	"strings"
)

// Proxies are the addresses whose word about others is believed. The zero value believes nobody.
type Proxies struct{ nets []netip.Prefix }

// ParseProxies reads addresses and networks. Errors: one that is neither.
func ParseProxies(list []string) (Proxies, error) {
	var p Proxies
	for _, text := range list {
		n, err := netip.ParsePrefix(text)
		if a, errAddr := netip.ParseAddr(text); err != nil && errAddr == nil {
			n, err = netip.PrefixFrom(a.Unmap().WithZone(""), a.Unmap().BitLen()), nil
		}
		if err != nil {
			return Proxies{}, fmt.Errorf("no address or network: %q", text)
		}
		p.nets = append(p.nets, n.Masked())
	}
	return p, nil
}

// Any reports whether anybody is believed.
func (p Proxies) Any() bool { return len(p.nets) > 0 }

func (p Proxies) has(a netip.Addr) bool {
	return slices.ContainsFunc(p.nets, func(n netip.Prefix) bool { return n.Contains(a) })
}

// Client is where a request came from.
type Client struct {
	Addr  netip.Addr // zero where it has none, as over a socket of the file system
	Local bool       // from the machine itself, and nobody passed it on
}

// mostHops is how many forwarded addresses are looked at, from the nearest.
const mostHops = 32

// Client reads where a request came from. Of X-Forwarded-For that much is believed as trusted proxies wrote: from the
// right, up to the first address that is not trusted. No other field is read, since a proxy that does not write it passes
// on what the caller wrote.
func (p Proxies) Client(r *http.Request) Client {
	peer := addressOf(r.RemoteAddr)
	if !p.Any() || !peer.IsValid() || !p.has(peer) {
		return Client{Addr: peer, Local: peer.IsLoopback() && !Forwarded(r)}
	}
	addr, hops := peer, 0
	for _, line := range slices.Backward(r.Header["X-Forwarded-For"]) {
		for more := true; more; hops++ {
			var last string
			if at := strings.LastIndexByte(line, ','); at >= 0 {
				line, last = line[:at], line[at+1:]
			} else {
				last, more = line, false
			}
			next := addressOf(strings.Trim(last, " \t"))
			if !next.IsValid() || hops == mostHops {
				return Client{Addr: addr}
			}
			if addr = next; !p.has(next) {
				return Client{Addr: addr}
			}
		}
	}
	return Client{Addr: addr, Local: addr.IsLoopback() && !Forwarded(r)}
}

// Forwarded reports whether a request says that somebody passed it on.
func Forwarded(r *http.Request) bool {
	return r.Header["X-Forwarded-For"] != nil || r.Header["Forwarded"] != nil || r.Header["X-Real-Ip"] != nil
}

// addressOf reads an address with or without a port.
func addressOf(text string) netip.Addr {
	if ap, err := netip.ParseAddrPort(text); err == nil {
		return ap.Addr().Unmap().WithZone("")
	}
	a, err := netip.ParseAddr(strings.TrimSuffix(strings.TrimPrefix(text, "["), "]"))
	if err != nil {
		return netip.Addr{}
	}
	return a.Unmap().WithZone("")
}

// network is whom an address is counted with: alone for IPv4; a network of 64 bits for IPv6, since that is what one
// customer has at least (RFC 6177).
func (c Client) network() netip.Addr {
	if !c.Addr.Is6() {
		return c.Addr
	}
	n, err := c.Addr.Prefix(64)
	if err != nil {
		return c.Addr
	}
	return n.Addr()
}
