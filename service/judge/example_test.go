package judge_test

import (
	"fmt"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func ExampleJudge() {
	s := &spec.Spec{Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 2,
		Band: quantity.Between(quantity.MustParse("0.10"), quantity.MustParse("0.40"))}
	r := judge.Judge(judge.Check{Spec: s, Unit: quantity.Millimetre,
		Readings:   []measure.Reading{{Value: quantity.MustParse("0.39"), HasValue: true}},
		Instrument: measure.Instrument{Standard: measure.Some(0.02)}})
	fmt.Println(r.Verdict, r.Because, r.Action, judge.PrintProbability(r.Probability))
	// Output: conditional_pass uncertainty accept_with_note 0.691
}

func ExampleClose() {
	s := &spec.Spec{Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 2,
		Band: quantity.Between(quantity.MustParse("0.10"), quantity.MustParse("0.40"))}
	play := func(value string) judge.Result {
		return judge.Judge(judge.Check{Spec: s, Unit: quantity.Millimetre,
			Readings:   []measure.Reading{{Value: quantity.MustParse(value), HasValue: true}},
			Instrument: measure.Instrument{Standard: measure.Some(0.02)}})
	}
	k := judge.Close(play("0.50"), play("0.15"), judge.Change{Added: quantity.Frac(40, 100), PerMM: quantity.Int(-1)})
	fmt.Println(k.Outcome, k.Residual.Print(2, 2))
	// Output: explained 0.05
}
