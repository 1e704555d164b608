package redislink_test

import (
	"bufio"
	"errors"
	"net"
	"strings"
	"testing"
	"time"

	"github.com/redis/go-redis/v9"

	"endfloat/specdb/redislink"
)

// answering takes connections, refuses every greeting, and answers everything else with the same bytes.
func answering(t *testing.T, with string) redislink.Target {
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
				for lines := bufio.NewScanner(c); lines.Scan(); {
					switch strings.ToLower(lines.Text()) {
					case "hello", "client":
						_, err = c.Write([]byte("-ERR unknown command\r\n"))
					case "get":
						_, err = c.Write([]byte(with))
					}
					if err != nil {
						return
					}
				}
			}()
		}
	}()
	target, err := redislink.Parse("redis://" + ln.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	return target
}

// A reply that announces more than there is memory ends the connection, and not the program.
func TestRepliesAreBounded(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ with, says string }{
		{"$2\r\nOK\r\n", ""},
		{"$999999999999\r\n", "sends more than was ever kept there"},
		{"*999999999\r\n", "sends more than was ever kept there"},
		{strings.Repeat("*1\r\n", 100_000), "sends more than was ever kept there"},
		{"HTTP/1.1 400 Bad Request\r\n\r\n", "is no Redis"},
	} {
		o := answering(t, row.with).Options()
		o.MaxRetries = -1
		client := redis.NewUniversalClient(o)
		got, err := client.Get(t.Context(), "x").Result()
		if row.says == "" && (err != nil || got != "OK") || row.says != "" && (err == nil || !strings.Contains(err.Error(), row.says)) {
			t.Errorf("%.20q: %q %v", row.with, got, err)
		}
		_ = client.Close()
	}
}

func TestCuttingEndsWhatIsUnderWay(t *testing.T) {
	t.Parallel()
	o, cut := answering(t, "").Cuttable() // which never answers
	o.ReadTimeout, o.MaxRetries, o.DialerRetries = time.Hour, -1, 1
	client := redis.NewUniversalClient(o)
	t.Cleanup(func() { _ = client.Close() })
	ended := make(chan error, 1)
	go func() { ended <- client.Get(t.Context(), "x").Err() }()
	for {
		select {
		case err := <-ended:
			if err == nil || errors.Is(err, redis.Nil) {
				t.Errorf("%v", err)
			}
			if err := client.Get(t.Context(), "x").Err(); err == nil {
				t.Error("a connection was made after the cut")
			}
			return
		case <-time.After(10 * time.Millisecond):
			cut()
		}
	}
}
