//go:build integration

package integration_test

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// What an answer must still say when it comes from the edge.
var kept = []string{"Content-Type", "Content-Language", "Cache-Control", "Etag", "Vary", "Catalogue-Revision", "Access-Control-Allow-Origin", "Content-Encoding"}

// differs names what two answers do not have in common.
func differs(a, b answer) string {
	var list []string
	for _, name := range kept {
		list = append(list, cmp.Diff(a.Header.Values(name), b.Header.Values(name)))
	}
	return cmp.Diff(a.Status, b.Status) + strings.Join(list, "") + cmp.Diff(string(a.Body), string(b.Body))
}

// until asks again and again until an answer came about in one of these ways.
func (e *edge) until(t *testing.T, path string, ways ...string) answer {
	t.Helper()
	beat := time.NewTicker(20 * time.Millisecond)
	defer beat.Stop()
	for end := time.Now().Add(patience); time.Now().Before(end); <-beat.C {
		a := e.ask(t, path)
		for _, way := range ways {
			if a.came() == way {
				return a
			}
		}
	}
	t.Fatalf("%s never came about as one of %q", path, ways)
	return answer{}
}

// RFC 9111: what is fresh is used again, what is stale is validated; RFC 9110, section 13: with the tag, answered 304.
func TestTheEdgeKeepsAnswersAsTheyAllow(t *testing.T) {
	t.Parallel()
	e, r, s := behindEdge(t)
	straight := send(t, plain, request(t, http.MethodGet, s.URL+axialPlay, ""))
	first, again := e.ask(t, axialPlay), e.ask(t, axialPlay)
	if first.came() != "fwd=uri-miss" || again.came() != "hit" {
		t.Errorf("first %q, then %q", first.came(), again.came())
	}
	for _, a := range []answer{first, again} {
		if diff := differs(straight, a); diff != "" {
			t.Error(diff)
		}
	}
	tag := first.Header.Get("Etag")
	for _, match := range []string{tag, "W/" + tag, `"another", ` + tag} {
		held := e.ask(t, axialPlay, "If-None-Match", match)
		if held.Status != http.StatusNotModified || len(held.Body) > 0 || held.Header.Get("Etag") != tag || held.Header.Get("Vary") != straight.Header.Get("Vary") {
			t.Errorf("%s: %d %v %s", match, held.Status, held.Header, held.Body)
		}
	}
	if other := e.ask(t, axialPlay, "If-None-Match", `"another"`); other.Status != http.StatusOK || len(other.Body) == 0 {
		t.Errorf("another tag: %d", other.Status)
	}
	head := send(t, plain, request(t, http.MethodHead, e.URL+axialPlay, ""))
	if head.Status != http.StatusOK || len(head.Body) > 0 || head.Header.Get("Etag") != tag || head.came() != "hit" {
		t.Errorf("HEAD: %d %v", head.Status, head.Header)
	}
	if n := len(r.since(0)); n != 1 {
		t.Errorf("the replica was asked %d times", n)
	}
}

func TestAHeadThatNobodyAskedBeforeFillsTheEdge(t *testing.T) {
	t.Parallel()
	e, r, _ := behindEdge(t)
	head := send(t, plain, request(t, http.MethodHead, e.URL+axialPlay, ""))
	if a := e.ask(t, axialPlay); a.came() != "hit" || len(a.Body) == 0 || head.Header.Get("Etag") != a.Header.Get("Etag") {
		t.Errorf("%q %d bytes", a.came(), len(a.Body))
	}
	if asked := r.since(0); len(asked) != 1 || asked[0].Line != "GET "+axialPlay {
		t.Errorf("%+v", asked)
	}
}

func TestWhatIsStaleIsValidatedByItsTag(t *testing.T) {
	t.Parallel()
	e, r, _ := behindEdge(t)
	r.ageing("public, max-age=1")
	first := e.ask(t, axialPlay)
	again := e.until(t, axialPlay, "fwd=stale; fwd-status=304")
	if string(again.Body) != string(first.Body) {
		t.Errorf("%s", again.Body)
	}
	asked := r.since(0)
	if last := asked[len(asked)-1]; last.Status != http.StatusNotModified || last.Header.Get("If-None-Match") != first.Header.Get("Etag") {
		t.Errorf("%+v", last)
	}
}

// RFC 5861: stale answers stand in while they are validated, and while the service is away.
func TestStaleAnswersStandIn(t *testing.T) {
	t.Parallel()
	e, r, s := behindEdge(t)
	r.ageing("public, max-age=1, stale-while-revalidate=300, stale-if-error=86400")
	first := e.ask(t, axialPlay)
	if stale := e.until(t, axialPlay, "hit; detail=stale"); string(stale.Body) != string(first.Body) {
		t.Errorf("%s", stale.Body)
	}
	e.until(t, axialPlay, "hit") // the one behind the scenes has come by then
	r.ageing("public, max-age=1, stale-if-error=86400")
	other := strings.Replace(axialPlay, "axial-play", "key-bolt", 1)
	bolt := e.ask(t, other)
	if code := s.end(t, syscall.SIGTERM); code != 0 {
		t.Errorf("exit code %d\n%s", code, s.log)
	}
	r.Close()
	if stale := e.until(t, other, "hit; detail=stale"); stale.Status != http.StatusOK || string(stale.Body) != string(bolt.Body) {
		t.Errorf("%d %s", stale.Status, stale.Body)
	}
	for _, req := range []*http.Request{request(t, http.MethodGet, e.URL+"/v1/codes", ""), request(t, http.MethodPost, e.URL+"/v1/evaluations", `{"checks":[]}`)} {
		a := send(t, plain, req)
		if a.Status != http.StatusServiceUnavailable || a.Header.Get("Retry-After") == "" || a.Header.Get("Content-Type") != "application/problem+json" || a.Header.Get("Cache-Control") != "no-store" {
			t.Errorf("%s without a replica: %d %v %s", req.URL.Path, a.Status, a.Header, a.Body)
		}
	}
}

// A refusal is no failure (RFC 5861, section 4): what another revision no longer has is gone, and no stale answer stands
// in for it.
func TestWhatIsGoneIsNotServedStale(t *testing.T) {
	t.Parallel()
	shop := t.TempDir()
	for _, name := range []string{"pl-85.yaml", "qb-270.yaml"} {
		if err := os.WriteFile(filepath.Join(shop, name), content(t, "specdb/data/"+name), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	e, r, s := behindEdge(t, "--catalogue", shop)
	r.ageing("public, max-age=1, stale-if-error=86400")
	const family = "/v1/families/qb-270"
	if a := e.ask(t, family); a.Status != http.StatusOK {
		t.Fatalf("%d %s", a.Status, a.Body)
	}
	if err := os.Remove(filepath.Join(shop, "qb-270.yaml")); err != nil {
		t.Fatal(err)
	}
	if err := s.cmd.Process.Signal(syscall.SIGHUP); err != nil {
		t.Fatal(err)
	}
	if a := e.until(t, family, "fwd=stale"); a.Status != http.StatusNotFound {
		t.Errorf("%d %s", a.Status, a.Body)
	}
	if a := e.ask(t, axialPlay); a.Status != http.StatusOK {
		t.Errorf("what stays: %d", a.Status)
	}
}

func TestAnsweredAnewEachTime(t *testing.T) {
	t.Parallel()
	e, r, _ := behindEdge(t)
	get := func(path string, header ...string) *http.Request {
		return request(t, http.MethodGet, e.URL+path, "", header...)
	}
	for _, row := range []struct {
		name   string
		req    func() *http.Request
		status int
	}{
		{"no such spec", func() *http.Request { return get(axialPlay + "-x") }, 404},
		{"no such address", func() *http.Request { return get("/nowhere") }, 404},
		{"unknown parameter", func() *http.Request { return get(axialPlay + "?colour=red") }, 400},
		{"no acceptable form", func() *http.Request { return get(axialPlay, "Accept", "image/png") }, 406},
		{"wrong method", func() *http.Request { return request(t, http.MethodPut, e.URL+axialPlay, "{}") }, 405},
		{"key that is not known, on what is kept", func() *http.Request { return get(axialPlay, "Authorization", "Bearer nobody") }, 401},
		{"evaluation", func() *http.Request {
			return request(t, http.MethodPost, e.URL+"/v1/evaluations", `{"checks":[{"id":"1","spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[{"value":0.15}]}]}`, "Content-Type", "application/json")
		}, 200},
		{"evaluation that is none", func() *http.Request {
			return request(t, http.MethodPost, e.URL+"/v1/evaluations", `{`, "Content-Type", "application/json")
		}, 400},
		{"readiness", func() *http.Request { return get("/readyz") }, 200},
	} {
		e.ask(t, axialPlay) // so that it is kept
		before := len(r.since(0))
		for range 3 {
			if a := send(t, plain, row.req()); a.Status != row.status || strings.Contains(a.came(), "hit") {
				t.Errorf("%s: %d, %q\n%s", row.name, a.Status, a.came(), a.Body)
			}
		}
		if n := len(r.since(before)); n != 3 {
			t.Errorf("%s: the replica was asked %d times in place of 3", row.name, n)
		}
	}
}
