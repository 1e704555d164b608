package sheet_test

import (
	"fmt"

	"endfloat/service/catalogue"
	"endfloat/service/sheet"
)

func ExampleJudge() {
	f := family()
	rev, err := catalogue.New("r", "2026-11-01", []*catalogue.Family{f}, catalogue.Defaults{})
	if err != nil {
		fmt.Println(err)
		return
	}
	plan := sheet.Lay(f, catalogue.Selection{Variant: "b"}, "gearbox")
	records := []sheet.Record{
		record(plan, "f/stack/play", "", "0.21", 0.010),
		record(plan, "f/stack/bolt", "estimated", "24", 0),
	}
	judged := sheet.Judge(plan, rev, records, "2026-11-25")
	fmt.Println(judged.Verdict, judged.Complete)
	for _, it := range judged.Gates[0].Blocked {
		fmt.Println(judged.Gates[0].Gate, judged.Gates[0].State, it.Key, it.Because.Code)
	}
	// Output:
	// not_judged false
	// cases_close blocked f/stack/bolt gate_waiver_missing
	// cases_close blocked f/stack/play not_renewed
	// cases_close blocked f/stack/bolt not_renewed
}
