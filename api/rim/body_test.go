package rim_test

import (
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/iotest"

	"endfloat/api/rim"
	"endfloat/service/fault"
)

func posted(body io.Reader, length int64) *http.Request {
	r := httptest.NewRequest(http.MethodPost, "/", body)
	r.ContentLength = length
	return r
}

func TestBodiesAreReadWholeWithinTheirBounds(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("x", 100<<10)
	for _, row := range []struct {
		name, body string
		length     int64
		most, held int64
		code       string
	}{
		{"exactly the limit", "12345", 5, 5, 0, ""},
		{"exactly the limit, chunked", "12345", -1, 5, 0, ""},
		{"one over, declared", "123456", 6, 5, 0, "body_too_large"},
		{"one over, chunked", "123456", -1, 5, 0, "body_too_large"},
		{"empty", "", 0, 5, 0, ""},
		{"of many pieces", long, int64(len(long)), 1 << 20, 0, ""},
		{"of many pieces, chunked", long, -1, 1 << 20, 0, ""},
		{"more than was declared", long, 10, 1 << 20, 0, ""},
		{"declared large, not sent", "12", 1 << 20, 1 << 20, 64 << 10, ""},
		{"what is held at once is used up", long, int64(len(long)), 1 << 20, 64 << 10, "busy"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			b := rim.NewBodies(row.held)
			got, release, err := b.Read(posted(strings.NewReader(row.body), row.length), row.most)
			if row.code == "" && (err != nil || string(got) != row.body) {
				t.Errorf("%d bytes, %v", len(got), err)
			}
			if row.code == "" && row.body != "" && b.Held() < int64(len(row.body)) {
				t.Errorf("%d bytes are held", b.Held())
			}
			if row.code != "" && faultOf(t, err).Code != row.code {
				t.Error(err)
			}
			if release(); b.Held() != 0 {
				t.Errorf("%d bytes are held afterwards", b.Held())
			}
		})
	}
}

// Who sends more than is read gets an answer, not a broken connection; who asks first need not send it.
func TestABodyThatIsTooLargeIsTakenAndThrownAway(t *testing.T) {
	t.Parallel()
	const most, more = 1 << 10, 6 << 20
	for _, row := range []struct {
		name   string
		length int64
		expect string
		left   int
	}{
		{"declared", more, "", 0},
		{"chunked", -1, "", 0},
		{"asked first", more, "100-continue", more},
		{"larger than anybody takes", 1 << 40, "", more},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			b := rim.NewBodies(1 << 20)
			sent := strings.NewReader(strings.Repeat("x", more))
			r := posted(sent, row.length)
			r.Header.Set("Expect", row.expect)
			_, release, err := b.Read(r, most)
			release()
			if faultOf(t, err).Code != "body_too_large" {
				t.Error(err)
			}
			if sent.Len() != row.left || b.Held() != 0 {
				t.Errorf("%d bytes were not taken, %d are held", sent.Len(), b.Held())
			}
		})
	}
}

func TestABodyThatEndsTooSoonGivesItsBytesBack(t *testing.T) {
	t.Parallel()
	b := rim.NewBodies(1 << 20)
	_, release, err := b.Read(posted(io.MultiReader(strings.NewReader("12"), iotest.ErrReader(errors.New("gone"))), 10), 1<<20)
	if faultOf(t, err).Code != "body_unreadable" || faultOf(t, err).Kind != fault.Malformed {
		t.Error(err)
	}
	if release(); b.Held() != 0 {
		t.Errorf("%d bytes are held afterwards", b.Held())
	}
}
