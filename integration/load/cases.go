package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
	"strings"
)

// sample is one case: a request, and the answer that the service gave to it when it was captured.
type sample struct {
	Name   string
	Method string
	Path   string
	Sent   http.Header
	Body   []byte
	Status int
	Header http.Header
	Answer []byte
	Share  int // of a hundred in the mixed load
}

const (
	specPath = "/v1/families/pl-85/components/counter-shaft/specs/axial-play"

	evaluation = `{"checks":[{"id":"1","spec":"pl-85/counter-shaft/axial-play","unit":"mm",` +
		`"readings":[{"value":0.15},{"value":0.20},{"value":0.15}],"instrument":{"kind":"dial","standard_uncertainty":0.010}}]}`

	plan = `{"unit":"mm","shims":["pl-85/counter-shaft/stack-shims"],` +
		`"measured":[{"spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[{"value":0.62}],` +
		`"instrument":{"kind":"dial","standard_uncertainty":0.010}}],` +
		`"fitted":[{"place":"left","pieces":[{"thickness":1.00,"measured":true}]},` +
		`{"place":"right","pieces":[{"thickness":1.00,"measured":true}]}],"offset_now":0,"max_options":5}`

	sheet = `{"family":"pl-85","lines":[` +
		`{"id":"1","spec":"pl-85/counter-shaft/axial-play","unit":"mm","as_found":{"readings":[{"value":0.41}],"instrument":{"kind":"dial"}},` +
		`"as_built":{"readings":[{"value":0.15},{"value":0.16}],"instrument":{"kind":"dial"}},"by":"bench 3","at":"2026-11-20"},` +
		`{"id":"2","spec":"pl-85/counter-shaft/key-bolt","unit":"N.m","as_built":{"readings":[{"value":24}],"instrument":{"kind":"click_wrench"}},"by":"bench 3","at":"2026-11-20"}]}`
)

// table is an evaluation of a hundred rows as CSV.
func table() string {
	var b strings.Builder
	b.WriteString("id,spec,unit,reading_1,reading_2,instrument,standard_uncertainty\n")
	for i := range 100 {
		fmt.Fprintf(&b, "%d,pl-85/counter-shaft/axial-play,mm,0.%02d,0.%02d,dial,0.010\n", i, 10+i%25, 12+i%25)
	}
	return b.String()
}

// asked are all cases before anybody was asked.
func asked() []*sample {
	get := func(name, path string, share int) *sample {
		return &sample{Name: name, Method: http.MethodGet, Path: path, Sent: http.Header{}, Share: share}
	}
	posted := func(name, path, media, body string, share int) *sample {
		return &sample{Name: name, Method: http.MethodPost, Path: path, Body: []byte(body), Sent: http.Header{"Content-Type": {media}}, Share: share}
	}
	const asJSON = "application/json"
	return []*sample{
		get("look-up", specPath, 55),
		get("look-up, 304", specPath, 20),
		get("component", "/v1/families/pl-85/components/counter-shaft", 8),
		posted("evaluation", "/v1/evaluations", asJSON, evaluation, 10),
		posted("plan", "/v1/shim-plans", asJSON, plan, 3),
		posted("sheet", "/v1/sheets", asJSON, sheet, 2),
		posted("CSV, 100 rows", "/v1/evaluations", "text/csv", table(), 2),
	}
}

// capture asks every case once. An address that the service does not have is left out, and said so.
func capture(ctx context.Context, addr string, out io.Writer) ([]*sample, error) {
	var cases []*sample
	for _, c := range asked() {
		not := strings.HasSuffix(c.Name, "304")
		if not {
			c.Sent.Set("If-None-Match", cases[0].Header.Get("ETag"))
		}
		if err := c.ask(ctx, addr); err != nil {
			return nil, err
		}
		switch {
		case c.Status == http.StatusNotFound && len(cases) > 0:
			fmt.Fprintf(out, "left out: %s, since %s is answered with 404\n", c.Name, c.Path)
			continue
		case not && c.Status != http.StatusNotModified, !not && c.Status != http.StatusOK:
			return nil, fmt.Errorf("%s %s: %d %s", c.Method, c.Path, c.Status, c.Answer)
		}
		cases = append(cases, c)
	}
	return cases, nil
}

func (c *sample) ask(ctx context.Context, addr string) error {
	req, err := http.NewRequestWithContext(ctx, c.Method, "http://"+addr+c.Path, bytes.NewReader(c.Body))
	if err != nil {
		return err
	}
	req.Header = c.Sent.Clone()
	req.Header.Set("Accept-Encoding", "identity") // as the measured requests, which name none
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return err
	}
	defer res.Body.Close()
	c.Status, c.Header = res.StatusCode, res.Header
	c.Answer, err = io.ReadAll(res.Body)
	return err
}

// wire is the request as it goes over a connection, with the header fields that a server wants beside.
func (c *sample) wire(s *server) question {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s %s HTTP/1.1\r\nHost: %s\r\n", c.Method, c.Path, s.addr)
	for name, values := range c.Sent {
		value := strings.Join(values, ", ")
		if name == "If-None-Match" && s.tag != "" {
			value = s.tag
		}
		fmt.Fprintf(&b, "%s: %s\r\n", name, value)
	}
	b.WriteString(s.extra)
	if len(c.Body) > 0 {
		fmt.Fprintf(&b, "Content-Length: %d\r\n", len(c.Body))
	}
	b.WriteString("\r\n")
	b.Write(c.Body)
	return question{b.Bytes(), c.Status, s.changes && c.Status == http.StatusNotModified}
}

// question is a request on the wire and the status that answers it; whole: it may be answered with 200 as well.
type question struct {
	text   []byte
	status int
	whole  bool
}

// questions are the cases in the order in which one connection asks them: alone, or mixed by their shares, each connection
// from another place on.
func questions(s *server, cases []*sample, connection int) []question {
	if len(cases) == 1 {
		return []question{cases[0].wire(s)}
	}
	total := 0
	for _, c := range cases {
		total += c.Share
	}
	list := make([]question, 0, total)
	due := make([]int, len(cases))
	for range total { // each time the case that is furthest behind its share
		next := 0
		for i, c := range cases {
			if due[i] += c.Share; due[i] > due[next] {
				next = i
			}
		}
		due[next] -= total
		list = append(list, cases[next].wire(s))
	}
	at := connection * 7 % len(list)
	return append(list[at:len(list):len(list)], list[:at]...)
}
