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
)

// capture asks every case once. An address that the service does not have is left out, and said so.
func capture(ctx context.Context, addr string, out io.Writer) ([]*sample, error) {
	spec := &sample{Name: "one spec", Method: http.MethodGet, Path: specPath, Sent: http.Header{}}
	same := &sample{Name: "one spec, not changed", Method: http.MethodGet, Path: specPath, Sent: http.Header{}}
	posted := func(name, path, body string) *sample {
		return &sample{Name: name, Method: http.MethodPost, Path: path, Body: []byte(body), Sent: http.Header{"Content-Type": {"application/json"}}}
	}
	var cases []*sample
	for _, c := range []*sample{spec, same, posted("one evaluation", "/v1/evaluations", evaluation), posted("one plan", "/v1/shim-plans", plan)} {
		if c == same {
			c.Sent.Set("If-None-Match", spec.Header.Get("ETag"))
		}
		if err := c.ask(ctx, addr); err != nil {
			return nil, err
		}
		switch {
		case c.Status == http.StatusNotFound:
			fmt.Fprintf(out, "left out: %s, since %s is answered with 404\n", c.Name, c.Path)
			continue
		case c == same && c.Status != http.StatusNotModified, c != same && c.Status != http.StatusOK:
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
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return err
	}
	defer res.Body.Close()
	c.Status, c.Header = res.StatusCode, res.Header
	c.Answer, err = io.ReadAll(res.Body)
	return err
}

// wire is the request as it goes over a connection.
func (c *sample) wire(addr string) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s %s HTTP/1.1\r\nHost: %s\r\n", c.Method, c.Path, addr)
	for name, values := range c.Sent {
		fmt.Fprintf(&b, "%s: %s\r\n", name, strings.Join(values, ", "))
	}
	if len(c.Body) > 0 {
		fmt.Fprintf(&b, "Content-Length: %d\r\n", len(c.Body))
	}
	b.WriteString("\r\n")
	b.Write(c.Body)
	return b.Bytes()
}
