//go:build integration

package integration_test

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// errand is one request of a load with the body that must answer it; want nil: any 200.
type errand struct {
	name string
	raw  []byte
	want []byte
}

// errands are a mixed load: kept look-ups, verdicts that few asked before, evaluations and plans. What each must be
// answered is asked of the service beforehand.
func errands(t testing.TB, base string) []errand {
	t.Helper()
	host := strings.TrimPrefix(base, "http://")
	var list []errand
	add := func(name, method, target, body string, share int) {
		req := request(t, method, base+target, body, "Content-Type", "application/json")
		if body == "" {
			req = request(t, method, base+target, "")
		}
		a := send(t, plain, req)
		if a.Status != http.StatusOK {
			t.Fatalf("%s: %d %s", target, a.Status, a.Body)
		}
		raw := fmt.Appendf(nil, "%s %s HTTP/1.1\r\nHost: %s\r\n", method, target, host)
		if body != "" {
			raw = fmt.Appendf(raw, "Content-Type: application/json\r\nContent-Length: %d\r\n", len(body))
		}
		raw = append(append(raw, "\r\n"...), body...)
		for range share {
			list = append(list, errand{name, raw, a.Body})
		}
	}
	for _, path := range []string{axialPlay, axialPlay + "?unit=in&lang=de", "/v1/families/pl-85/components/counter-shaft", "/v1/lookups?sku=PL-SH-110&key=pl-85/counter-shaft/key-bolt", "/v1/families"} {
		add("look-up", http.MethodGet, path, "", 80)
	}
	for i := range 200 {
		add("verdict", http.MethodGet, fmt.Sprintf("%s/verdict?value=%d.%02d&unit=mm", axialPlay, i/100, i%100), "", 1)
	}
	add("evaluation", http.MethodPost, "/v1/evaluations", `{"checks":[{"id":"1","spec":"pl-85/counter-shaft/axial-play","unit":"mm",`+
		`"readings":[{"value":0.15},{"value":0.20},{"value":0.15}],"instrument":{"kind":"dial","standard_uncertainty":0.010}}]}`, 300)
	add("plan", http.MethodPost, "/v1/shim-plans", `{"unit":"mm","shims":["pl-85/counter-shaft/stack-shims"],"offset_now":0,"max_options":1,`+
		`"measured":[{"spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[{"value":0.62}],"instrument":{"kind":"dial","standard_uncertainty":0.010}}],`+
		`"fitted":[{"place":"left","pieces":[{"thickness":1.00,"measured":true}]},{"place":"right","pieces":[{"thickness":1.00,"measured":true}]}]}`, 100)
	add("sheet", http.MethodGet, "/v1/families/pl-85/sheet?format=csv", "", 5)
	return list
}

// driven is what came of a load.
type driven struct {
	asked  atomic.Int64
	mu     sync.Mutex
	failed []string // at most some
	fails  int
	cut    int // answers that began and did not end, which are failures too
	took   map[string][]time.Duration
}

// drive sends errands drawn at random over connections that stay open, until stop says so, which is handed the number
// of requests so far. Nothing is asked twice: a broken connection, another status or another body is a failure.
func drive(base string, connections int, list []errand, stop func(asked int64) bool) *driven {
	d := &driven{took: map[string][]time.Duration{}}
	var all sync.WaitGroup
	for i := range connections {
		all.Go(func() { d.worker(base, list, rand.New(rand.NewPCG(20261101, uint64(i))), stop) })
	}
	all.Wait()
	return d
}

func (d *driven) worker(base string, list []errand, dice *rand.Rand, stop func(int64) bool) {
	took := map[string][]time.Duration{}
	var conn net.Conn
	var answers *bufio.Reader
	for !stop(d.asked.Add(1)) {
		e := &list[dice.IntN(len(list))]
		began := time.Now()
		if conn == nil {
			var err error
			if conn, err = net.DialTimeout("tcp", strings.TrimPrefix(base, "http://"), patience); err != nil {
				d.fail(e.name + ": " + err.Error())
				continue
			}
			answers = bufio.NewReaderSize(conn, 64<<10)
		}
		last, err := e.over(conn, answers)
		took[e.name] = append(took[e.name], time.Since(began))
		if err != nil {
			d.fail(e.name + ": " + err.Error())
			d.lost(err)
		}
		if err != nil || last {
			_ = conn.Close()
			conn = nil
		}
	}
	if conn != nil {
		_ = conn.Close()
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	for name, list := range took {
		d.took[name] = append(d.took[name], list...)
	}
}

// over sends the errand over a connection; last says that the other side closes it.
func (e *errand) over(conn net.Conn, answers *bufio.Reader) (last bool, err error) {
	if err := conn.SetDeadline(time.Now().Add(patience)); err != nil {
		return true, err
	}
	if _, err := conn.Write(e.raw); err != nil {
		return true, err
	}
	res, err := http.ReadResponse(answers, nil)
	if err != nil {
		return true, err
	}
	body, err := io.ReadAll(res.Body)
	_ = res.Body.Close()
	switch {
	case err != nil:
		return true, fmt.Errorf("%w: %w", errCut, err)
	case res.StatusCode != http.StatusOK:
		return res.Close, fmt.Errorf("%d %s", res.StatusCode, body)
	case e.want != nil && !bytes.Equal(body, e.want):
		return res.Close, fmt.Errorf("answered otherwise: %s", body)
	}
	return res.Close, nil
}

func (d *driven) fail(why string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.fails++; len(d.failed) < 10 {
		d.failed = append(d.failed, why)
	}
}

// errCut is an answer that began and did not end.
var errCut = errors.New("cut off")

func (d *driven) lost(err error) {
	if !errors.Is(err, errCut) {
		return
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.cut++
}

// table says how long the errands took, a line each.
func (d *driven) table(w io.Writer) {
	var names []string
	var all []time.Duration
	for name, list := range d.took {
		names = append(names, name)
		all = append(all, list...)
	}
	slices.Sort(names)
	d.took["all"] = all
	fmt.Fprintf(w, "%-12s %9s %9s %9s %9s %9s\n", "ms", "requests", "p50", "p99", "p99.9", "longest")
	for _, name := range append(names, "all") {
		list := d.took[name]
		slices.Sort(list)
		if len(list) == 0 {
			continue
		}
		at := func(q float64) float64 { return list[int(q*float64(len(list)-1))].Seconds() * 1e3 }
		fmt.Fprintf(w, "%-12s %9d %9.2f %9.2f %9.2f %9.2f\n", name, len(list), at(0.5), at(0.99), at(0.999), at(1))
	}
}
