package api_test

import (
	"encoding/json"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"
)

type practiceCase struct {
	ID, Topic, Title, Method, Address, Request string
	ContentType                                string `json:"content_type"`
	Status                                     int
	Expected                                   []struct{ Pointer, Type, Value string }
}

// Every case is sent as an integrator would send it, and the answer says what the case expects. What is expected was
// worked out by hand from the rules; the torques of the generic estimate are those of the tables of VDI 2230.
func TestPracticeHolds(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	var list struct{ Items []practiceCase }
	if err := json.Unmarshal(do(h, "GET", "/v1/practice").Body.Bytes(), &list); err != nil || len(list.Items) < 40 {
		t.Fatalf("%v, %d cases", err, len(list.Items))
	}
	seen := map[string]bool{}
	for _, c := range list.Items {
		if seen[c.ID] || c.Title == "" || len(c.Expected) == 0 {
			t.Errorf("%s: twice, without a title or without an expectation", c.ID)
		}
		seen[c.ID] = true
		r := httptest.NewRequest(c.Method, c.Address, strings.NewReader(c.Request))
		if c.ContentType != "" {
			r.Header.Set("Content-Type", c.ContentType)
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code != c.Status {
			t.Errorf("%s: %d\n%s", c.ID, w.Code, w.Body)
			continue
		}
		var doc any
		if err := json.Unmarshal(w.Body.Bytes(), &doc); err != nil {
			t.Fatal(c.ID, err)
		}
		for _, e := range c.Expected {
			got, there := at(doc, e.Pointer)
			if !expected(got, there, e.Type, e.Value) {
				t.Errorf("%s: %s is %v, want %s %s\n%s", c.ID, e.Pointer, got, e.Type, e.Value, w.Body)
			}
		}
	}
}

// at is what stands at a JSON Pointer (RFC 6901); the pointers here need no escapes.
func at(doc any, pointer string) (any, bool) {
	for step := range strings.SplitSeq(strings.TrimPrefix(pointer, "/"), "/") {
		switch v := doc.(type) {
		case map[string]any:
			next, ok := v[step]
			if !ok {
				return nil, false
			}
			doc = next
		case []any:
			i, err := strconv.Atoi(step)
			if err != nil || i < 0 || i >= len(v) {
				return nil, false
			}
			doc = v[i]
		default:
			return nil, false
		}
	}
	return doc, true
}

func expected(got any, there bool, kind, value string) bool {
	switch v := got.(type) {
	case string:
		return kind == "string" && v == value
	case bool:
		return kind == "boolean" && strconv.FormatBool(v) == value
	case float64:
		want, err := strconv.ParseFloat(value, 64)
		return kind == "number" && err == nil && v == want
	}
	return kind == "absent" && !there && value == ""
}

func TestPracticeByTopic(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	total := 0
	for _, topic := range []string{"evaluations", "records", "plans", "problems"} {
		var list struct{ Items []practiceCase }
		if err := json.Unmarshal(do(h, "GET", "/v1/practice?topic="+topic).Body.Bytes(), &list); err != nil || len(list.Items) < 8 {
			t.Errorf("%s: %v, %d cases", topic, err, len(list.Items))
		}
		for _, c := range list.Items {
			if c.Topic != topic {
				t.Errorf("%s is of %s", c.ID, c.Topic)
			}
		}
		total += len(list.Items)
	}
	if w := do(h, "GET", "/v1/practice?topic=art"); w.Code != 400 || total < 40 {
		t.Errorf("%d, %d cases", w.Code, total)
	}
}
