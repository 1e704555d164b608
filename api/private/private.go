// Package private answers on the second listener, which only those who run the service reach: what is counted, how the
// program was built, profiles of it, and whether it is well.
//
// It decides what stands there. None of it is ever on the public listener. It refuses to know where the listener is: on
// loopback only requests to a loopback name are answered, so that no page in a browser on the same machine gets in under
// a name of its own.
//
//	h := private.New(private.Settings{Metrics: set.Handler(), Service: public, Loopback: true})
package private

import (
	"encoding/json"
	"net"
	"net/http"
	"net/http/pprof" // the public listener does not use http.DefaultServeMux, where this registers
	"net/netip"
	"runtime/debug"
	"strings"
)

// Settings of the private listener.
type Settings struct {
	Metrics  http.Handler
	Service  http.Handler // answers /livez and /readyz
	Version  string
	Loopback bool // the listener is on loopback
}

// Index is what stands at the root.
const Index = `/metrics         what is counted, for Prometheus
/livez /readyz   whether the process is up, whether it takes requests
/build           how the program was built
/debug/pprof/    profiles: profile?seconds=10, heap, goroutine, trace?seconds=1 and others
`

// New is the handler of the private listener.
func New(s Settings) http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", s.Metrics)
	mux.Handle("GET /livez", s.Service)
	mux.Handle("GET /readyz", s.Service)
	mux.HandleFunc("GET /build", s.build)
	mux.HandleFunc("GET /debug/pprof/", pprof.Index) // without cmdline: keys and passwords may stand in it
	mux.HandleFunc("GET /debug/pprof/profile", pprof.Profile)
	mux.HandleFunc("GET /debug/pprof/symbol", pprof.Symbol)
	mux.HandleFunc("GET /debug/pprof/trace", pprof.Trace)
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		_, _ = w.Write([]byte(Index)) // whoever asked may have gone
	})
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if s.Loopback && !local(r.Host) {
			http.Error(w, "this listener is on loopback and answers under a loopback name only", http.StatusMisdirectedRequest)
			return
		}
		w.Header().Set("Cache-Control", "no-store")
		w.Header().Set("X-Content-Type-Options", "nosniff")
		mux.ServeHTTP(w, r)
	})
}

// local reports whether the host of a request is a name or an address of loopback.
func local(host string) bool {
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	if strings.EqualFold(host, "localhost") {
		return true
	}
	addr, err := netip.ParseAddr(strings.Trim(host, "[]"))
	return err == nil && addr.IsLoopback()
}

// built is how the program was built.
type built struct {
	Version string   `json:"version"`
	Go      string   `json:"go"`
	Module  string   `json:"module"`
	Setting []pair   `json:"settings"`
	Modules []module `json:"modules"`
}

type pair struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

type module struct {
	Path    string `json:"path"`
	Version string `json:"version"`
	Sum     string `json:"sum,omitempty"`
}

func (s Settings) build(w http.ResponseWriter, _ *http.Request) {
	b := built{Version: s.Version, Setting: []pair{}, Modules: []module{}}
	if info, ok := debug.ReadBuildInfo(); ok {
		b.Go, b.Module = info.GoVersion, info.Main.Path
		for _, v := range info.Settings {
			b.Setting = append(b.Setting, pair{v.Key, v.Value})
		}
		for _, m := range info.Deps {
			b.Modules = append(b.Modules, module{m.Path, m.Version, m.Sum})
		}
	}
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(b) // whoever asked may have gone
}
