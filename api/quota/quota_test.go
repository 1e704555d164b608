package quota_test

import (
	"strings"
	"testing"
	"time"

	"endfloat/api/quota"
)

func TestParse(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		text string
		want quota.Quota
		back string
	}{
		{"6000/1m", quota.Quota{Units: 6000, Window: time.Minute}, "6000/1m"},
		{"1/1s", quota.Quota{Units: 1, Window: time.Second}, "1/1s"},
		{"1000000000/24h", quota.Quota{Units: quota.MaxUnits, Window: quota.MaxWindow}, "1000000000/24h"},
		{"5/90s", quota.Quota{Units: 5, Window: 90 * time.Second}, "5/1m30s"},
		{"5/10s", quota.Quota{Units: 5, Window: 10 * time.Second}, "5/10s"},
		{"off", quota.None(), "off"},
	} {
		got, err := quota.Parse(row.text)
		if err != nil || got != row.want || got.String() != row.back {
			t.Errorf("%s: %v %v %v", row.text, got, got.String(), err)
		}
		if again, err := quota.Parse(got.String()); err != nil || again != got {
			t.Errorf("%s read back: %v %v", got, again, err)
		}
	}
	for _, text := range []string{"", "0/1m", "-1/1m", "+5/1m", "6000", "6000/", "/1m", "6000/0s", "6000/500ms", "6000/1.5s", "6000/25h", "1000000001/1m",
		"99999999999999999999/1m", "6000/-1m", "Off", "1e3/1m", "6000/1m/1m", " 6000/1m"} {
		if q, err := quota.Parse(text); err == nil {
			t.Errorf("%q was read as %v", text, q)
		}
	}
	if (quota.Quota{}).Said() || !quota.None().Said() || quota.None().Limited() {
		t.Error("the zero value says nothing; None says that there is no limit")
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"6000/1m", "off", "1/24h", "7/1h0m0s", "9/µs", strings.Repeat("9", 40) + "/1m"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		q, err := quota.Parse(text)
		if err != nil {
			return
		}
		if again, err := quota.Parse(q.String()); err != nil || again != q {
			t.Errorf("%q: %v is read back as %v, %v", text, q, again, err)
		}
	})
}
