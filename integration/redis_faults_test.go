//go:build integration

package integration_test

import (
	"io"
	"net"
	"strings"
	"testing"
)

// garbling takes connections and answers everything with something that is not the protocol of Redis.
func garbling(t *testing.T, with string) string {
	t.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = ln.Close() })
	go func() {
		for {
			c, err := ln.Accept()
			if err != nil {
				return
			}
			go func() {
				defer func() { _ = c.Close() }()
				_, _ = io.CopyN(io.Discard, c, 1)
				_, _ = io.WriteString(c, with)
			}()
		}
	}()
	return ln.Addr().String()
}

// What is no Redis is one that is away: the start and all answers are as ever.
func TestAnswersBesideWhatIsNoRedis(t *testing.T) {
	t.Parallel()
	for name, with := range map[string]string{
		"a web server":      "HTTP/1.1 400 Bad Request\r\nContent-Length: 0\r\n\r\n",
		"silence":           "",
		"a reply too large": "$999999999999\r\n" + strings.Repeat("x", 1<<16),
		"a nested reply":    strings.Repeat("*1\r\n", 1<<16),
		"other replies":     "+OK\r\n:1\r\n$-1\r\n*2\r\n$1\r\nx\r\n$1\r\ny\r\n",
		"no text at all":    string([]byte{0, 255, 0, 255, 13, 10}),
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := follower(t, "redis://"+garbling(t, with), "--catalogue", shop(t, "0.40"))
			s.answersEverything(t)
			s.warnsOf(t, "The service's own catalogue serves")
			if code, _, diag := run(t, nil, "catalogue", "revisions", "--redis", "redis://"+garbling(t, with)); code != 2 || diag == "" {
				t.Errorf("%d %s", code, diag)
			}
		})
	}
}

// A Redis without room takes no publication, and takes nothing away.
func TestAnswersWhileRedisIsFull(t *testing.T) {
	t.Parallel()
	r := newRedis(t, "--maxmemory-policy", "noeviction")
	url := "redis://" + r.addr
	first := publishes(t, url, shop(t, "0.40"))
	s := follower(t, url)
	s.serves(t, "0.40")
	s.warnsOf(t, "")
	desk := r.desk(t)
	if err := desk.ConfigSet(t.Context(), "maxmemory", "1").Err(); err != nil {
		t.Fatal(err)
	}
	if code, _, diag := run(t, nil, "catalogue", "publish", shop(t, "0.35"), "--redis", url); code != 2 || !strings.Contains(diag, "OOM") {
		t.Errorf("%d %s", code, diag)
	}
	s.answersEverything(t)
	s.warnsOf(t, "Publishers cannot be told what is ready here: redis: OOM")
	late := follower(t, url)
	late.serves(t, "0.40")
	if now := desk.Get(t.Context(), "{endfloat}:current").Val(); !strings.HasPrefix(now, first+"/") {
		t.Errorf("in use is %s", now)
	}
	if err := desk.ConfigSet(t.Context(), "maxmemory", "0").Err(); err != nil {
		t.Fatal(err)
	}
	publishes(t, url, shop(t, "0.35"))
	for _, one := range []*service{s, late} {
		one.serves(t, "0.35")
		one.warnsOf(t, "")
	}
}

// One that comes and goes changes nothing for those who ask, and is followed whenever it is there.
func TestAnswersWhileRedisFlaps(t *testing.T) {
	t.Parallel()
	r := newRedis(t, "--appendonly", "yes", "--appendfsync", "always")
	url := "redis://" + r.addr
	publishes(t, url, shop(t, "0.40"))
	s := follower(t, url)
	s.serves(t, "0.40")
	for _, upper := range []string{"0.39", "0.38", "0.37"} {
		r.kill(t)
		s.answersEverything(t)
		r.start(t)
		publishes(t, url, shop(t, upper))
		s.serves(t, upper)
		r.hang(t)
		s.answersEverything(t)
		r.wake(t)
	}
	s.warnsOf(t, "")
}
