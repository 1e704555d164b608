package quota_test

import (
	"net/http"
	"strings"
	"testing"

	"endfloat/api/quota"
)

func TestClient(t *testing.T) {
	t.Parallel()
	trusted, err := quota.ParseProxies([]string{"10.0.0.0/8", "2001:db8:ffff::/48", "127.0.0.1"})
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		name    string
		proxies quota.Proxies
		peer    string
		lines   []string
		want    string
		local   bool
	}{
		{"nobody is believed", quota.Proxies{}, "192.0.2.9:1", []string{"198.51.100.1"}, "192.0.2.9", false},
		{"the machine itself", quota.Proxies{}, "127.0.0.1:1", nil, "127.0.0.1", true},
		{"the machine itself, IPv6", quota.Proxies{}, "[::1]:1", nil, "::1", true},
		{"a proxy on the machine that is not believed", quota.Proxies{}, "127.0.0.1:1", []string{"198.51.100.1"}, "127.0.0.1", false},
		{"not through the proxy", trusted, "192.0.2.9:1", []string{"198.51.100.1"}, "192.0.2.9", false},
		{"through the proxy", trusted, "10.0.0.1:1", []string{"198.51.100.1"}, "198.51.100.1", false},
		{"what the caller wrote before", trusted, "10.0.0.1:1", []string{"203.0.113.7, 198.51.100.1"}, "198.51.100.1", false},
		{"as a line of its own", trusted, "10.0.0.1:1", []string{"203.0.113.7", "198.51.100.1"}, "198.51.100.1", false},
		{"the caller claims to be the machine", trusted, "127.0.0.1:1", []string{"127.0.0.1, 198.51.100.1"}, "198.51.100.1", false},
		{"two proxies", trusted, "10.0.0.1:1", []string{"203.0.113.7,198.51.100.1,\t10.9.9.9"}, "198.51.100.1", false},
		{"nothing but proxies", trusted, "10.0.0.1:1", []string{"10.0.0.3, 10.0.0.2"}, "10.0.0.3", false},
		{"the machine through its own proxy", trusted, "127.0.0.1:1", []string{"127.0.0.1"}, "127.0.0.1", false},
		{"the machine beside its own proxy", trusted, "127.0.0.1:1", nil, "127.0.0.1", true},
		{"a proxy that says nothing", trusted, "10.0.0.1:1", nil, "10.0.0.1", false},
		{"nonsense nearest", trusted, "10.0.0.1:1", []string{"198.51.100.1, unknown"}, "10.0.0.1", false},
		{"nonsense behind a proxy", trusted, "10.0.0.1:1", []string{"_hidden, 10.0.0.2"}, "10.0.0.2", false},
		{"an empty line", trusted, "10.0.0.1:1", []string{""}, "10.0.0.1", false},
		{"with a port", trusted, "10.0.0.1:1", []string{"198.51.100.1:4711"}, "198.51.100.1", false},
		{"IPv6", trusted, "[2001:db8:ffff::1]:1", []string{"2001:db8::7"}, "2001:db8::7", false},
		{"IPv6 with a port", trusted, "[2001:db8:ffff::1]:1", []string{"[2001:db8::7]:4711"}, "2001:db8::7", false},
		{"IPv6 in brackets", trusted, "[2001:db8:ffff::1]:1", []string{"[2001:db8::7]"}, "2001:db8::7", false},
		{"IPv4 in IPv6", trusted, "[::ffff:10.0.0.1]:1", []string{"::ffff:198.51.100.1"}, "198.51.100.1", false},
		{"a zone", trusted, "10.0.0.1:1", []string{"fe80::1%eth0"}, "fe80::1", false},
		{"a chain too long", trusted, "10.0.0.1:1", []string{"198.51.100.1," + strings.Repeat("10.0.0.2,", 40) + "10.0.0.2"}, "10.0.0.2", false},
		{"a socket of the file system", trusted, "@", nil, "invalid IP", false},
	} {
		r := &http.Request{RemoteAddr: row.peer, Header: http.Header{}}
		if row.lines != nil {
			r.Header["X-Forwarded-For"] = row.lines
		}
		if got := row.proxies.Client(r); got.Addr.String() != row.want || got.Local != row.local {
			t.Errorf("%s: %v, local %v", row.name, got.Addr, got.Local)
		}
	}
}

func TestOtherFieldsNameNobody(t *testing.T) {
	t.Parallel()
	trusted, err := quota.ParseProxies([]string{"127.0.0.1"})
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"Forwarded", "X-Real-Ip"} {
		r := &http.Request{RemoteAddr: "127.0.0.1:1", Header: http.Header{name: {"for=198.51.100.1"}}}
		if got := trusted.Client(r); got.Addr.String() != "127.0.0.1" || got.Local || !quota.Forwarded(r) {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

func TestParseProxiesRefusesWhatIsNoAddress(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"", "proxy.example", "10.0.0.0/33", "10.0.0.1:80"} {
		if _, err := quota.ParseProxies([]string{text}); err == nil {
			t.Errorf("%q was read", text)
		}
	}
}

func FuzzClient(f *testing.F) {
	f.Add("10.0.0.1:1", "203.0.113.7, 198.51.100.1", "")
	f.Add("[::1]:9", "unknown,,,", "10.0.0.1")
	f.Add("@", "[2001:db8::7]:4711", "%")
	trusted, err := quota.ParseProxies([]string{"10.0.0.0/8", "::1"})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, peer, first, second string) {
		r := &http.Request{RemoteAddr: peer, Header: http.Header{"X-Forwarded-For": {first, second}}}
		if c := trusted.Client(r); c.Local {
			t.Errorf("%q %q %q: passed on, and yet local", peer, first, second)
		}
		if c := (quota.Proxies{}).Client(r); strings.Contains(peer, "192.0.2.1:") && c.Addr.IsValid() && c.Addr.String() != "192.0.2.1" {
			t.Errorf("%q: %v", peer, c.Addr)
		}
	})
}
