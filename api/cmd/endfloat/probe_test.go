package main

import (
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

func TestProbeSaysWhetherTheServiceIsReady(t *testing.T) {
	t.Parallel()
	answering := func(status int) string {
		s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			if r.URL.Path != "/readyz" {
				status = http.StatusNotFound
			}
			w.WriteHeader(status)
		}))
		t.Cleanup(s.Close)
		return strings.TrimPrefix(s.URL, "http://")
	}
	gone, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	if err := gone.Close(); err != nil {
		t.Fatal(err)
	}
	ready := answering(200)
	_, port, _ := net.SplitHostPort(ready)
	for _, row := range []struct {
		name, env string
		args      []string
		code      int
		says      string
	}{
		{"ready", "", []string{ready}, 0, "ready"},
		{"the address of the service", ready, nil, 0, "ready"},
		{"every address of the machine", "0.0.0.0:" + port, nil, 0, "ready"},
		{"no host", ":" + port, nil, 0, "ready"},
		{"draining", "", []string{answering(503)}, 1, "503"},
		{"nobody there", "", []string{gone.Addr().String()}, 1, "not ready"},
		{"no address", "", []string{"nowhere"}, 2, "host:port"},
		{"a flag", "", []string{"--fast"}, 2, "probe --help"},
		{"too much", "", []string{ready, ready}, 2, "probe --help"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			var out, diag strings.Builder
			env := func(name string) string {
				if name == "ENDFLOAT_ADDR" {
					return row.env
				}
				return ""
			}
			code := command(t.Context(), append([]string{"probe"}, row.args...), env, &out, &diag)
			if said := out.String() + diag.String(); code != row.code || !strings.Contains(said, row.says) {
				t.Errorf("exit code %d, %q", code, said)
			}
		})
	}
}

func TestHere(t *testing.T) {
	t.Parallel()
	for addr, want := range map[string]string{
		"0.0.0.0:1": "127.0.0.1:1", ":1": "127.0.0.1:1", "[::]:1": "[::1]:1", "127.0.0.2:1": "127.0.0.2:1", "host:1": "host:1",
	} {
		if got := here(addr); got != want {
			t.Errorf("%s: %s in place of %s", addr, got, want)
		}
	}
}
