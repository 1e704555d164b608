package main

import (
	"bytes"
	"context"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/alicebob/miniredis/v2"
)

// with runs a command with Redis named in the environment.
func with(t *testing.T, url string, args ...string) (code int, out, diag string) {
	t.Helper()
	var o, d bytes.Buffer
	code = command(context.Background(), args, func(k string) string { return map[string]string{"ENDFLOAT_REDIS": url}[k] }, &o, &d)
	return code, o.String(), d.String()
}

func shopWith(t *testing.T, upper string) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "x-1.yaml"), []byte(strings.Replace(shop, "UPPER", upper, 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	return dir
}

func TestPublishFollowAndRollBack(t *testing.T) {
	t.Parallel()
	plain := "redis://" + miniredis.RunT(t).Addr()
	closed := miniredis.RunT(t)
	closed.RequireAuth("another one")
	if code, out, diag := with(t, plain, "catalogue", "publish", shopWith(t, "0.40")); code != exitDone || !strings.Contains(out, "before it was nothing") || !strings.Contains(diag, "nobody follows yet") {
		t.Fatalf("%d %s%s", code, out, diag)
	}
	cmd, base := start(t, []string{"ENDFLOAT_REDIS=" + plain}, "--addr", "127.0.0.1:0")
	const spec = "/v1/families/x-1/components/shaft/specs/play"
	awaits := func(path, want string) {
		t.Helper()
		for until := time.Now().Add(time.Minute); ; {
			if status, got := body(t, base+path); status == http.StatusOK && strings.Contains(got, want) {
				return
			} else if time.Now().After(until) {
				t.Fatal(got)
			}
		}
	}
	awaits(spec, `"upper":0.40`)
	for until := time.Now().Add(time.Minute); ; { // a publisher waits for those alone that have said that they are there
		if _, out, _ := with(t, plain, "catalogue", "revisions"); strings.Contains(out, "replica ") {
			break
		} else if time.Now().After(until) {
			t.Fatal(out)
		}
	}
	for _, step := range []struct {
		args []string
		want string
	}{
		{[]string{"publish", shopWith(t, "0.35")}, `"upper":0.35`},
		{[]string{"rollback"}, `"upper":0.40`},
	} {
		if code, out, diag := with(t, plain, append([]string{"catalogue"}, step.args...)...); code != exitDone || !strings.Contains(diag, "1 of 1 replicas have it ready") {
			t.Errorf("%v: %d %s%s", step.args, code, out, diag)
		}
		awaits(spec, step.want)
	}
	if code, out, _ := with(t, plain, "catalogue", "revisions"); code != exitDone || strings.Count(out, "\n") != 4 {
		t.Errorf("%d %s", code, out)
	}
	if code, out, diag := with(t, "redis://:hunter-two@"+closed.Addr(), "catalogue", "revisions"); code != exitCannot || strings.Contains(out+diag, "hunter-two") {
		t.Errorf("%d %s%s", code, out, diag)
	}
	awaits("/readyz", `"warnings":[]`) // the quotas too are counted in Redis by then
	if err := cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		t.Errorf("ended with %v", err)
	}
}

func TestServingSaysWhatIsWrongWithItsRedis(t *testing.T) {
	t.Parallel()
	archive := t.TempDir()
	_, base := start(t, []string{"ENDFLOAT_REDIS=redis://127.0.0.1:1"}, "--addr", "127.0.0.1:0", "--archive", archive)
	status, ready := body(t, base+"/readyz")
	if status != 200 || !strings.Contains(ready, "connection refused") || !strings.Contains(ready, "own catalogue serves") {
		t.Errorf("%d %s", status, ready)
	}
	if status, _ := body(t, base+"/v1/families/pl-85"); status != 200 {
		t.Error(status)
	}
	if code, _, diag := with(t, "redis://127.0.0.1:1", "--archive", archive+"/none", "--addr", "127.0.0.1:0"); code != exitCannot || !strings.Contains(diag, "archive") {
		t.Errorf("%d %s", code, diag)
	}
}
