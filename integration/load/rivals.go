package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/redis/go-redis/v9"
)

// baseline is what a bare server is told: the answers to give, whether to give their header fields, and the Redis that
// it asks for each look-up, if any.
type baseline struct {
	Cases      []*sample
	WithFields bool
	Redis      string
}

func startBaseline(ctx context.Context, s settings, name string, told baseline) (*server, error) {
	self, err := os.Executable()
	if err != nil {
		return nil, err
	}
	text, err := json.Marshal(told)
	if err != nil {
		return nil, err
	}
	return start(ctx, s, &server{name: name, gets: told.Redis != ""}, bytes.NewReader(text), nil, self, baselineWord)
}

// serveBaseline is the bare server: it is told its answers on in and says its address on out.
func serveBaseline(ctx context.Context, in io.Reader, out io.Writer) error {
	var told baseline
	if err := json.NewDecoder(in).Decode(&told); err != nil {
		return err
	}
	var store *redis.Client
	if told.Redis != "" {
		options, err := redis.ParseURL(told.Redis)
		if err != nil {
			return err
		}
		options.PoolSize = 64
		store = redis.NewClient(options)
		for _, c := range told.Cases {
			if err := store.Set(ctx, "load:"+c.Path, c.Answer, 0).Err(); c.Status == http.StatusOK && err != nil {
				return err
			}
		}
	}
	mux := http.NewServeMux()
	byPath := map[string][]*sample{}
	for _, c := range told.Cases {
		byPath[c.Method+" "+c.Path] = append(byPath[c.Method+" "+c.Path], c)
	}
	for pattern, cases := range byPath {
		mux.Handle(pattern, bareHandler(cases, told.WithFields, store))
	}
	var listen net.ListenConfig
	ln, err := listen.Listen(ctx, "tcp", "127.0.0.1:0")
	if err != nil {
		return err
	}
	fmt.Fprintln(out, saysAddress+ln.Addr().String())
	srv := &http.Server{Handler: mux, ReadHeaderTimeout: 5 * time.Second}
	return srv.Serve(ln)
}

// bareHandler answers like the samples: a body that was sent is read whole; a tag that was sent gives the 304.
func bareHandler(cases []*sample, withFields bool, store *redis.Client) http.HandlerFunc {
	same, tag := (*sample)(nil), ""
	byMedia := map[string]*sample{}
	for _, c := range cases {
		if c.Status == http.StatusNotModified {
			same, tag = c, c.Sent.Get("If-None-Match")
			continue
		}
		byMedia[c.Sent.Get("Content-Type")] = c
	}
	write := func(w http.ResponseWriter, c *sample, body []byte) {
		h := w.Header()
		if !withFields {
			if c.Status == http.StatusOK {
				h.Set("Content-Type", c.Header.Get("Content-Type"))
			}
		} else {
			for name, values := range c.Header {
				if name != "Date" {
					h[name] = values
				}
			}
		}
		if c.Status != http.StatusOK {
			w.WriteHeader(c.Status)
			return
		}
		_, _ = w.Write(body) // a client that has gone away is no fault
	}
	return func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodPost {
			if _, err := io.ReadAll(r.Body); err != nil {
				w.WriteHeader(http.StatusBadRequest)
				return
			}
		}
		c := byMedia[r.Header.Get("Content-Type")]
		body := c.Answer
		if store != nil { // a tag, too, is known only once the value is there
			var err error
			if body, err = store.Get(r.Context(), "load:"+c.Path).Bytes(); err != nil {
				w.WriteHeader(http.StatusBadGateway)
				return
			}
		}
		if same != nil && r.Header.Get("If-None-Match") == tag {
			write(w, same, nil)
			return
		}
		write(w, c, body)
	}
}

// nginxConfig serves files by one process, as plain as it can.
const nginxConfig = `daemon off; master_process off; pid %[1]s/pid; error_log %[1]s/log;
worker_rlimit_nofile 4096;
events { worker_connections 2048; }
http {
  access_log off; sendfile on; tcp_nopush on; keepalive_requests 1000000000; keepalive_timeout 300s;
  default_type application/json; open_file_cache max=100; client_body_temp_path %[1]s/b; proxy_temp_path %[1]s/p;
  fastcgi_temp_path %[1]s/f; uwsgi_temp_path %[1]s/u; scgi_temp_path %[1]s/s;
  server { listen %[2]s; %[3]s }
}
`

// startNginx serves the look-ups from files. It is nil, and said so, where there is no nginx.
func startNginx(ctx context.Context, s settings, cases []*sample, dir string, out io.Writer) (*server, error) {
	program := installed("nginx", "/usr/sbin/nginx")
	if program == "" {
		fmt.Fprintln(out, "left out: nginx, which is not here")
		return nil, nil
	}
	var places strings.Builder
	for i, c := range cases {
		if c.Method == http.MethodGet && c.Status == http.StatusOK {
			name := filepath.Join(dir, fmt.Sprintf("%d.json", i))
			if err := os.WriteFile(name, c.Answer, 0o644); err != nil {
				return nil, err
			}
			fmt.Fprintf(&places, "location = %s { alias %s; } ", c.Path, name)
		}
	}
	addr, err := freeAddr(ctx)
	if err != nil {
		return nil, err
	}
	config := filepath.Join(dir, "nginx.conf")
	if err := os.WriteFile(config, fmt.Appendf(nil, nginxConfig, dir, addr, places.String()), 0o644); err != nil {
		return nil, err
	}
	if err := os.Chmod(dir, 0o755); err != nil { // it gives its rights away
		return nil, err
	}
	cmd, _, err := launch(ctx, s, nil, nil, program, "-e", filepath.Join(dir, "log"), "-c", config)
	if err != nil {
		return nil, err
	}
	srv := &server{name: "nginx, from a file", addr: addr, gets: true, cmd: cmd}
	first := &sample{Method: http.MethodGet, Path: cases[0].Path, Sent: http.Header{}}
	for until := time.Now().Add(10 * time.Second); ; <-time.After(20 * time.Millisecond) {
		err := first.ask(ctx, addr)
		if err == nil && first.Status == http.StatusOK {
			srv.tag = first.Header.Get("ETag")
			return srv, nil
		}
		if time.Now().After(until) {
			srv.stop()
			return nil, errors.Join(fmt.Errorf("nginx answers with %d", first.Status), err)
		}
	}
}

func freeAddr(ctx context.Context) (string, error) {
	var listen net.ListenConfig
	ln, err := listen.Listen(ctx, "tcp", "127.0.0.1:0")
	if err != nil {
		return "", err
	}
	return ln.Addr().String(), ln.Close()
}
