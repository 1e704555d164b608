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

// A left-hand thread that is only among the cautions of a caller's spec stands before the value all the same.
func TestLeftHandByCaution(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	r := judgeOne(t, h, `{"caller_spec":{"kind":"torque","unit":"N·m","band":{"lower":22,"upper":26},"cautions":["left_hand_thread"]},"unit":"N·m","readings":[{"value":24}],"instrument":{"standard_uncertainty":0.1}}`)
	if want := "LEFT-HAND THREAD (tightens anticlockwise, loosens clockwise): inside: 24 N·m (23.8 to 24.2 N·m); allowed: 22–26 N·m; accept; caller's own value"; r.Text != want {
		t.Errorf("got  %s\nwant %s", r.Text, want)
	}
}
