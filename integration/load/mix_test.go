package main

import (
	"net/http"
	"testing"
	"time"
)

func TestAMixedLoadKeepsItsShares(t *testing.T) {
	t.Parallel()
	srv := &server{addr: "127.0.0.1:1"}
	cases := []*sample{{Name: "a", Method: "GET", Path: "/a", Status: 200, Share: 7}, {Name: "b", Method: "GET", Path: "/b", Status: 304, Share: 2}, {Name: "c", Method: "POST", Path: "/c", Status: 201, Body: []byte("{}"), Share: 1}}
	for connection := range 20 {
		count := map[int]int{}
		list := questions(srv, cases, connection)
		for _, q := range list {
			count[q.status]++
		}
		if len(list) != 10 || count[200] != 7 || count[304] != 2 || count[201] != 1 {
			t.Errorf("connection %d: %v", connection, count)
		}
	}
	if one := questions(srv, cases[2:], 3); len(one) != 1 || string(one[0].text) != "POST /c HTTP/1.1\r\nHost: 127.0.0.1:1\r\nContent-Length: 2\r\n\r\n{}" {
		t.Errorf("%d: %q", len(one), one[0].text)
	}
}

func TestATagIsThatOfTheServerThatIsAsked(t *testing.T) {
	t.Parallel()
	c := &sample{Method: "GET", Path: "/a", Status: 304, Sent: http.Header{"If-None-Match": {`"ours"`}}}
	got := c.wire(&server{addr: "x", tag: `"theirs"`, extra: "X-A: b\r\n", changes: true})
	if string(got.text) != "GET /a HTTP/1.1\r\nHost: x\r\nIf-None-Match: \"theirs\"\r\nX-A: b\r\n\r\n" || !got.whole {
		t.Errorf("%q %v", got.text, got.whole)
	}
}

func TestALateAnswerCountsFromWhenItWasDue(t *testing.T) {
	t.Parallel()
	began := time.Now().Add(-time.Second)
	p := pacing{from: began, until: began.Add(time.Hour), every: time.Millisecond}
	if due := p.next(10); !due.Equal(began.Add(10 * time.Millisecond)) {
		t.Errorf("counts from %v", due.Sub(began))
	}
	if now := p.next(1010); now.Sub(began) < 1010*time.Millisecond {
		t.Errorf("asked %v too early", 1010*time.Millisecond-now.Sub(began))
	}
	if now := (pacing{}).next(5); time.Since(now) > time.Minute {
		t.Errorf("without a rate it counts from %v", now)
	}
}
