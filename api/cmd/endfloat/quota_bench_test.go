package main

import (
	"bufio"
	"context"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"endfloat/api"
	"endfloat/api/quota"
	"endfloat/specdb"
	"endfloat/specdb/redislink"
	"endfloat/specdb/redisquota"
)

// quick is a Redis that answers every count with the same words, so that what is measured is this side of it.
func quick(b *testing.B) (addr string) {
	b.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = ln.Close() })
	go func() {
		for {
			c, err := ln.Accept()
			if err != nil {
				return
			}
			go func() {
				defer c.Close()
				for in := bufio.NewReader(c); ; {
					word, err := firstWord(in)
					if err != nil {
						return
					}
					said := "-ERR there is none\r\n"
					switch word {
					case "script":
						said = "+ok\r\n"
					case "eval":
						said = ":1\r\n"
					case "evalsha":
						said = "*2\r\n:1\r\n:50000\r\n"
					}
					if _, err := io.WriteString(c, said); err != nil {
						return
					}
				}
			}()
		}
	}()
	return ln.Addr().String()
}

// firstWord reads one command and gives its first word.
func firstWord(in *bufio.Reader) (word string, err error) {
	line, err := in.ReadSlice('\n')
	if err != nil {
		return "", err
	}
	n, err := strconv.Atoi(strings.TrimSpace(string(line[1:])))
	for i := range n {
		line, err := in.ReadSlice('\n')
		if err != nil {
			return "", err
		}
		size, err := strconv.Atoi(strings.TrimSpace(string(line[1:])))
		if err != nil {
			return "", err
		}
		text, err := in.Peek(size + 2)
		if err != nil {
			return "", err
		}
		if i == 0 {
			word = strings.ToLower(string(text[:size]))
		}
		if _, err := in.Discard(size + 2); err != nil {
			return "", err
		}
	}
	return word, err
}

// BenchmarkQuota is what counting costs a question and a look-up.
func BenchmarkQuota(b *testing.B) {
	store, err := specdb.Embedded()
	if err != nil {
		b.Fatal(err)
	}
	target, err := redislink.Parse("redis://" + quick(b))
	if err != nil {
		b.Fatal(err)
	}
	ledger := redisquota.Open(target.Options(), redisquota.Patience{Wait: time.Minute, Slow: time.Minute}, slog.New(slog.DiscardHandler))
	b.Cleanup(func() { _ = ledger.Close() })
	for range 100 {
		if ledger.Beat(b.Context()); ledger.Up() {
			break
		}
	}
	per := quota.Quota{Units: quota.MaxUnits, Window: quota.MaxWindow}
	shared := quota.New(quota.Options{Address: per, Shared: joint{ledger}, Wait: time.Minute})
	ctx, cancel := context.WithCancel(b.Context())
	var running sync.WaitGroup
	running.Go(func() { shared.Run(ctx) })
	b.Cleanup(func() { cancel(); running.Wait() })
	const question = `{"thread":"M8","property_class":"8.8","friction":{"thread":0.12,"head":0.12},"utilisation":0.9}`
	for _, row := range []struct {
		name    string
		limiter *quota.Limiter
		method  string
		path    string
	}{
		{"question/off", nil, "POST", "/v1/torque-estimates"},
		{"question/alone", quota.New(quota.Options{Address: per}), "POST", "/v1/torque-estimates"},
		{"question/redis", shared, "POST", "/v1/torque-estimates"},
		{"look-up/off", nil, "GET", "/v1/families/pl-85/components/counter-shaft/specs/axial-play"},
		{"look-up/questions counted", quota.New(quota.Options{Address: per}), "GET", "/v1/families/pl-85/components/counter-shaft/specs/axial-play"},
		{"look-up/counted", quota.New(quota.Options{Address: per, LookUp: per}), "GET", "/v1/families/pl-85/components/counter-shaft/specs/axial-play"},
	} {
		h, err := api.New(api.Deps{Catalogue: store, Log: slog.New(slog.DiscardHandler), Limiter: row.limiter}, api.Config{})
		if err != nil {
			b.Fatal(err)
		}
		b.Run(row.name, func(b *testing.B) {
			b.ReportAllocs()
			body := strings.NewReader(question)
			r := httptest.NewRequest(row.method, row.path, http.NoBody)
			r.Header.Set("Content-Type", "application/json")
			r.RemoteAddr = "192.0.2.1:4711"
			w := &sink{header: http.Header{}}
			for b.Loop() {
				if row.method == "POST" {
					body.Reset(question)
					r.Body, r.ContentLength = io.NopCloser(body), int64(len(question))
				}
				clear(w.header)
				if h.ServeHTTP(w, r); w.status != http.StatusOK {
					b.Fatal(w.status)
				}
			}
		})
	}
	if ledger.Failed() > 0 {
		b.Logf("%d counts were not answered", ledger.Failed())
	}
}

// sink takes an answer and keeps its status.
type sink struct {
	header http.Header
	status int
}

func (s *sink) Header() http.Header         { return s.header }
func (s *sink) WriteHeader(status int)      { s.status = status }
func (s *sink) Write(b []byte) (int, error) { return len(b), nil }
