package fragment_test

import (
	"fmt"
	"strings"
	"testing"

	"endfloat/api/fragment"
)

// Whatever a catalogue or a caller brings goes out as text.
func TestEverythingIsText(t *testing.T) {
	t.Parallel()
	const bad = `"><script>alert(1)</script><img src=x onerror='x'>{{.}}`
	html, err := fragment.New().HTML(fragment.Fragment{Lang: bad, Revision: bad, Labels: fragment.Labels{Aim: bad, Wear: bad, Details: bad, Source: bad, Parts: bad},
		Cautions: []fragment.Caution{{Code: bad, Severity: 1, Text: bad}}, Warnings: []string{bad},
		Groups: []fragment.Group{{Key: bad, Name: bad, About: bad, Nothing: bad, Parts: []fragment.Part{{SKU: bad, Name: bad, About: bad}},
			Specs: []fragment.Spec{{Key: bad, Name: bad, About: bad, Hand: bad, Value: bad, Aim: bad, Wear: bad, Details: bad, Source: bad, Cautions: bad,
				Alternatives: []fragment.Alternative{{Name: bad, Text: bad}}}}}}})
	if err != nil {
		t.Fatal(err)
	}
	text := string(html)
	if strings.Contains(text, "<script") || strings.Contains(text, "<img") || strings.Count(text, "alert(1)") != 30 {
		t.Errorf("%d times in\n%s", strings.Count(text, "alert(1)"), text)
	}
}

func ExampleDrawing_HTML() {
	html, _ := fragment.New().HTML(fragment.Fragment{Lang: "en", Revision: "r-1", Labels: fragment.Labels{Aim: "Aim", Source: "Source"},
		Cautions: []fragment.Caution{{Code: "left_hand_thread", Severity: 1, Text: "Left-hand thread."}},
		Groups: []fragment.Group{{Key: "a/b/c", Specs: []fragment.Spec{{Key: "a/b/c", Name: "Key bolt", Hand: "LEFT-HAND THREAD", Value: "22–26 N·m", Aim: "24 N·m",
			Source: "DEMO", Cautions: "left_hand_thread"}}}}})
	fmt.Print(string(html))
	// Output:
	// <section class="endfloat" lang="en" dir="ltr" data-revision="r-1">
	// <ul class="endfloat-cautions">
	// <li data-code="left_hand_thread" data-severity="1">Left-hand thread.</li>
	// </ul>
	// <div class="endfloat-group" data-key="a/b/c">
	// <article class="endfloat-spec" data-key="a/b/c" data-cautions="left_hand_thread">
	// <p class="endfloat-name">Key bolt</p>
	// <p class="endfloat-value"><strong class="endfloat-hand">LEFT-HAND THREAD</strong> <b>22–26 N·m</b></p>
	// <dl class="endfloat-facts">
	// <dt>Aim</dt><dd>24 N·m</dd>
	// <dt>Source</dt><dd>DEMO</dd>
	// </dl>
	// </article>
	// </div>
	// </section>
}
