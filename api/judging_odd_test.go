package api_test

import (
	"strings"
	"testing"
)

// A caution that nobody here knows is the caller's, and is told as that.
func TestCautionOfACaller(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const check = `{"checks":[{"id":"1","caller_spec":{"kind":"dimension","unit":"mm","band":{"upper":0.4},"cautions":["hold_the_rotor","left_hand_thread"]},"unit":"mm","readings":[{"value":0.3}]}]}`
	for lang, want := range map[string]string{
		"en": `{"code":"hold_the_rotor","severity":9,"text":"Caution of the caller's own spec: hold_the_rotor."}`,
		"de": `{"code":"hold_the_rotor","severity":9,"text":"Warnhinweis der eigenen Vorgabe: hold_the_rotor."}`,
	} {
		if w := post(h, "/v1/evaluations?lang="+lang, check); !strings.Contains(w.Body.String(), want) {
			t.Errorf("%s: %s", lang, w.Body)
		}
	}
}

// What is told to do about a number that is too large or too long is true of both.
func TestRemedyOfANumber(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, number := range []string{"1e400", "0.1234567890123456789"} {
		r := post(h, "/v1/evaluations", `{"checks":[{`+stack+`"readings":[{"value":`+number+`}]}]}`)
		if want := `"fix":"send a number that has at most 18 digits when it is written out"`; !strings.Contains(r.Body.String(), want) {
			t.Errorf("%s: %s", number, r.Body)
		}
	}
}
