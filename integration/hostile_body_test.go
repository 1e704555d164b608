//go:build integration

package integration_test

import (
	"fmt"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"
)

// most is how long a request that only costs may take, whatever else the machine does.
const most = time.Minute

// flood sends requests at once, from as many callers as there are, and counts the answers by status. Whoever is refused
// is told when to come again.
func flood(t *testing.T, s *service, callers, each int, path, media string, body func(i int) string) map[int]int {
	t.Helper()
	var mu sync.Mutex
	statuses := map[int]int{}
	client := &http.Client{Timeout: 2 * patience, Transport: &http.Transport{MaxIdleConnsPerHost: callers}}
	defer client.CloseIdleConnections()
	var all sync.WaitGroup
	for i := range callers {
		all.Go(func() {
			for n := range each {
				res, err := client.Do(request(t, http.MethodPost, s.URL+path, body(i*each+n), "Content-Type", media))
				if err != nil {
					t.Error(err)
					return
				}
				_ = res.Body.Close()
				mu.Lock()
				statuses[res.StatusCode]++
				mu.Unlock()
				if (res.StatusCode == http.StatusServiceUnavailable || res.StatusCode == http.StatusTooManyRequests) && res.Header.Get("Retry-After") == "" {
					t.Errorf("%d without Retry-After", res.StatusCode)
				}
			}
		})
	}
	all.Wait()
	return statuses
}

// comesAgain does as those are told that were refused, until the work is done.
func comesAgain(t *testing.T, s *service, path, body string) {
	t.Helper()
	for until := time.Now().Add(4 * patience); ; <-time.After(time.Second) {
		a := send(t, &http.Client{Timeout: 2 * patience}, request(t, http.MethodPost, s.URL+path, body, "Content-Type", "application/json"))
		if a.Status == http.StatusOK {
			return
		}
		if a.Status != http.StatusServiceUnavailable || time.Now().After(until) {
			t.Fatalf("alone it is answered with %d %.300s", a.Status, a.Body)
		}
	}
}

// Bodies that are cheap to send and dear to read, each alone: the answer is a fault of theirs, in time.
func TestBodiesThatAreDearToRead(t *testing.T) {
	t.Parallel()
	fill := func(n int, piece func(i int) string) string {
		var b strings.Builder
		for i := 0; b.Len() < n; i++ {
			b.WriteString(piece(i))
		}
		return b.String()
	}
	const check = `{"checks":[{"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.1,"upper":0.4}},"unit":"mm","readings":[{"value":`
	column := strings.Repeat("reading_1,", 10_000)
	rows := []struct {
		name, path, media, body string
		status                  int
	}{
		{"8 MiB of brackets", evaluations, "application/json", strings.Repeat("[", 8*mib-1), 400},
		{"4 MiB of objects in one another", evaluations, "application/json", `{"checks":` + strings.Repeat(`{"a":`, 800_000), 400},
		{"brackets where a value stands", evaluations, "application/json", check + strings.Repeat("[", 4*mib), 400},
		{"200,000 keys that nobody knows", evaluations, "application/json", `{` + fill(4*mib, func(i int) string { return fmt.Sprintf(`"k%d":0,`, i) }) + `"z":0}`, 400},
		{"200,000 keys that nobody knows, in a row", evaluations, "application/json", `{"checks":[{` + fill(4*mib, func(i int) string { return fmt.Sprintf(`"k%d":0,`, i) }) + `"z":0}]}`, 400},
		{"one key again and again", evaluations, "application/json", `{"checks":[{` + strings.Repeat(`"id":"1",`, 400_000) + `"id":"1"}]}`, 400},
		{"a key of 4 MiB", evaluations, "application/json", `{"` + strings.Repeat("k", 4*mib) + `":0}`, 400},
		{"a text of 4 MiB", evaluations, "application/json", `{"checks":[{"id":"` + strings.Repeat("x", 4*mib) + `"}]}`, 200},
		{"escapes of 4 MiB", evaluations, "application/json", `{"checks":[{"id":"` + strings.Repeat(`\u0041`, 700_000) + `"}]}`, 200},
		{"a number of 4 MiB", evaluations, "application/json", check + "1" + strings.Repeat("0", 4*mib) + "}]}]}", 200},
		{"decimals of 4 MiB", evaluations, "application/json", check + "0." + strings.Repeat("3", 4*mib) + "}]}]}", 200},
		{"an exponent without end", evaluations, "application/json", check + "1e" + strings.Repeat("9", 1000) + "}]}]}", 200},
		{"1,000,000 empty checks", evaluations, "application/json", `{"checks":[` + strings.Repeat(`{},`, 1_000_000) + `{}]}`, 422},
		{"500,000 readings", evaluations, "application/json", check + `1}` + strings.Repeat(`,{"value":1}`, 500_000) + `]}]}`, 422},
		{"white space", evaluations, "application/json", strings.Repeat(" \n", 4*mib), 400},
		{"8 MiB and one byte", evaluations, "application/json", strings.Repeat(" ", 8*mib+1), 413},
		{"one column again and again", evaluations, "text/csv", column[:len(column)-1] + "\n", 400},
		{"a cell of 4 MiB", evaluations, "text/csv", "id,spec,reading_1\n" + strings.Repeat("x", 4*mib) + ",a/b/c,1\n", 200},
		{"a quote that does not end", evaluations, "text/csv", "id,spec,reading_1\n\"" + strings.Repeat("x\n", 2*mib), 400},
		{"4,000,000 empty lines", evaluations, "text/csv", "id\n" + strings.Repeat("\n", 4_000_000), 200},
		{"1,000,000 short rows", evaluations, "text/csv", "id\n" + strings.Repeat("x\n", 1_000_000), 422},
		{"look-ups of 200,000 keys", "/v1/lookups", "application/json", `{"keys":["a/b/c"` + strings.Repeat(`,"a"`, 200_000) + `]}`, 422},
		{"UTF-16 with its mark", evaluations, "application/json", "\xff\xfe{\x00}\x00", 400},
		{"UTF-16 without its mark", evaluations, "application/json", "{\x00}\x00", 400},
		{"UTF-16 as a table", evaluations, "text/csv", "\xff\xfei\x00d\x00\n\x00", 400},
		{"UTF-32", evaluations, "application/json", "\x00\x00\xfe\xff\x00\x00\x00{\x00\x00\x00}", 400},
		{"a table in Latin-1", evaluations, "text/csv", "id,unit,reading_1\n1,\xb5m,3\n", 400},
		{"UTF-8 longer than need be", evaluations, "application/json", "{\"checks\":[{\"id\":\"\xc0\xaf\"}]}", 400},
		{"half a pair", evaluations, "application/json", `{"checks":[{"id":"\ud800"}]}`, 400},
	}
	siege{slow: calm, memory: 1000 * mib}.run(t, func(s *service, _ string) {
		for _, row := range rows {
			began := time.Now()
			a := send(t, &http.Client{Timeout: 2 * most}, request(t, http.MethodPost, s.URL+row.path, row.body, "Content-Type", row.media))
			if took := time.Since(began); took > most {
				t.Errorf("%s took %v", row.name, took)
			}
			if a.Status != row.status || len(a.Body) > len(row.body)+64<<10 {
				t.Errorf("%s: %d, %d bytes: %.300s", row.name, a.Status, len(a.Body), a.Body)
			}
		}
	})
}

// explosive is a plan with many sizes at several places, and specs that hang together: its search uses up its steps.
func explosive(i int) string {
	const places, sizes, specs = 6, 500, 3
	var ladder, place, spec, measured, fitted []string
	for n := range sizes {
		ladder = append(ladder, fmt.Sprintf(`{"thickness":%d.%03d,"tolerance":{"lower":-0.01,"upper":0}}`, 1+n*13/1000, n*13%1000))
	}
	for k := range specs {
		spec = append(spec, fmt.Sprintf(`{"id":"s%d","caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.1,"upper":0.4},"target":0.2}}`, k))
		measured = append(measured, fmt.Sprintf(`{"spec":"s%d","unit":"mm","readings":[{"value":0.%03d}],"instrument":{"kind":"dial","standard_uncertainty":0.01}}`, k, 600+(i*37+k*101)%300))
	}
	for p := range places {
		var per []string
		for k := range specs {
			if (p+k)%3 > 0 {
				per = append(per, fmt.Sprintf(`{"spec":"s%d","change":-0.%d}`, k, 31+17*((p*7+k*3)%4)))
			}
		}
		place = append(place, fmt.Sprintf(`{"id":"p%d","min_pieces":0,"max_pieces":3,"per_mm":[%s]}`, p, strings.Join(per, ",")))
		fitted = append(fitted, fmt.Sprintf(`{"place":"p%d","pieces":[{"thickness":1.00}]}`, p))
	}
	return `{"unit":"mm","max_options":50,"caller_shims":[{"id":"set","specs":[` + strings.Join(spec, ",") + `],"places":[` + strings.Join(place, ",") +
		`],"ladder":[` + strings.Join(ladder, ",") + `]}],"measured":[` + strings.Join(measured, ",") + `],"fitted":[` + strings.Join(fitted, ",") + `]}`
}

func TestPlansThatAreBuiltToExplode(t *testing.T) {
	t.Parallel()
	siege{slow: calm, memory: 1000 * mib}.run(t, func(s *service, own string) {
		began := time.Now()
		statuses := flood(t, s, 60, 1, "/v1/shim-plans", "application/json", explosive)
		t.Logf("60 at once: %v in %v; %v refused at the gate", statuses, time.Since(began), metric(t, own, `endfloat_gate_refused_total{class="plan"}`))
		if statuses[http.StatusServiceUnavailable] == 0 || statuses[http.StatusOK]+statuses[http.StatusServiceUnavailable] != 60 {
			t.Errorf("%v", statuses)
		}
		comesAgain(t, s, "/v1/shim-plans", explosive(0))
		if metric(t, own, "endfloat_plans_unproven_total") == 0 {
			t.Error("no search used up its steps: nothing exploded")
		}
	})
}

// fullBatch is an evaluation at its limits: 5,000 checks that are dear to judge.
func fullBatch(int) string {
	check := `{"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.05,"upper":0.40}},"unit":"mm","readings":[` +
		strings.Repeat(`{"repeats":[0.15,0.16,0.15,0.17,0.151,0.152,0.153,0.154]},`, 20) + `{"value":0.2}],"instrument":{"kind":"dial","standard_uncertainty":0.01}},`
	return `{"checks":[` + strings.Repeat(check, min(4999, 8*mib/len(check)-1)) + strings.TrimSuffix(check, ",") + `]}`
}

func TestBatchesAtTheirLimits(t *testing.T) {
	t.Parallel()
	body := fullBatch(0)
	siege{slow: calm, memory: 1500 * mib}.run(t, func(s *service, own string) {
		began := time.Now()
		statuses := flood(t, s, 40, 1, evaluations, "application/json", func(int) string { return body })
		t.Logf("40 of %d bytes at once: %v in %v; %v refused", len(body), statuses, time.Since(began), metric(t, own, `endfloat_gate_refused_total{class="large"}`))
		if statuses[http.StatusOK]+statuses[http.StatusServiceUnavailable] != 40 {
			t.Errorf("%v", statuses)
		}
		comesAgain(t, s, evaluations, body)
	})
}

// fullSheet is a sheet at its limit of lines, each with all it may hold.
func fullSheet(int) string {
	line := func(i int) string {
		return fmt.Sprintf(`{"id":"%d","spec":"pl-85/counter-shaft/axial-play","unit":"mm","as_found":{"readings":[{"value":0.41}]},"as_built":{"readings":[{"value":0.15}]},"note":"%s"}`,
			i, strings.Repeat("<i>&amp;", 60))
	}
	var lines []string
	for i := range 1000 {
		lines = append(lines, line(i))
	}
	return `{"family":"pl-85","lines":[` + strings.Join(lines, ",") + `]}`
}

func TestSheetsAtTheirLimits(t *testing.T) {
	t.Parallel()
	body := fullSheet(0)
	siege{slow: calm, memory: 1000 * mib}.run(t, func(s *service, _ string) {
		for _, form := range []string{"json", "html", "csv"} {
			began := time.Now()
			statuses := flood(t, s, 30, 1, "/v1/sheets?format="+form, "application/json", func(int) string { return body })
			t.Logf("30 of %d bytes at once as %s: %v in %v", len(body), form, statuses, time.Since(began))
			if statuses[http.StatusOK]+statuses[http.StatusServiceUnavailable] != 30 {
				t.Errorf("%s: %v", form, statuses)
			}
			comesAgain(t, s, "/v1/sheets?format="+form, body)
		}
	})
}

// Addresses that are each asked once: answers that are kept are bounded, and so is the memory of many pages.
func TestAddressesThatNobodyAskedBefore(t *testing.T) {
	t.Parallel()
	siege{slow: calm, memory: 400 * mib}.run(t, func(s *service, _ string) {
		client := &http.Client{Timeout: patience, Transport: &http.Transport{MaxIdleConnsPerHost: 8}}
		defer client.CloseIdleConnections()
		var all sync.WaitGroup
		for caller := range 8 {
			all.Go(func() {
				for i := range 2500 {
					target := fmt.Sprintf("%s/verdict?value=%d.%06d&unit=mm", axialPlay, caller, i)
					if i%2 == 0 {
						target = fmt.Sprintf("/v1/specs?page_size=200&q=%s", strings.Repeat("play ", i%20+1)+fmt.Sprint(caller, i))
						target = strings.ReplaceAll(target, " ", "+")
					}
					if a := send(t, client, request(t, http.MethodGet, s.URL+target, "")); a.Status != http.StatusOK {
						t.Errorf("%s: %d %.300s", target, a.Status, a.Body)
						return
					}
				}
			})
		}
		all.Wait()
	})
}
