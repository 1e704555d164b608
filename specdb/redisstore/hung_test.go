package redisstore_test

import (
	"net"
	"testing"
)

// hung is the address of something that takes connections and never says a word.
func hung(t testing.TB) string {
	t.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan struct{})
	var open []net.Conn
	go func() {
		defer close(ended)
		for {
			c, err := ln.Accept()
			if err != nil {
				return
			}
			open = append(open, c)
		}
	}()
	t.Cleanup(func() {
		_ = ln.Close()
		<-ended
		for _, c := range open {
			_ = c.Close()
		}
	})
	return ln.Addr().String()
}
