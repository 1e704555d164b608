package reference_test

import (
	"fmt"

	"endfloat/api/reference"
)

func ExampleRead() {
	page, err := reference.Read([]byte(`{"tags":[{"name":"judging"}],"paths":{"/v1/evaluations":{"post":
		{"summary":"Verdicts on readings","tags":["judging"],"responses":{"200":{"description":"The verdicts."}}}}}}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, o := range page.Subjects[0].Operations {
		fmt.Println(o.Method, o.Path, "·", o.Title, "·", o.Answers[0].Status, o.Answers[0].About)
	}
	// Output: POST /v1/evaluations · Verdicts on readings · 200 The verdicts.
}
