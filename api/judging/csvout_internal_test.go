package judging

import (
	"bytes"
	"encoding/csv"
	"testing"

	"pgregory.net/rapid"

	"endfloat/api/rim"
	"endfloat/api/table"
	"endfloat/api/wire"
	"endfloat/service/quantity"
)

// What is written cell by cell is what encoding/csv writes of the same cells.
func TestCellsAreWrittenAsRFC4180HasThem(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := table.Form{Delimiter: rapid.SampledFrom([]rune{',', ';', '\t'}).Draw(t, "delimiter"), DecimalComma: rapid.Bool().Draw(t, "comma")}
		out := newSheet(f, "r-1", "1")
		var want bytes.Buffer
		w := csv.NewWriter(&want)
		w.Comma = f.Delimiter
		_ = w.Write(outColumns) // a buffer takes everything
		for _, row := range rapid.SliceOfN(rapid.SliceOfN(rapid.StringOf(rapid.SampledFrom([]rune("a1.,;\t\"\n\r =-\u00a0\u00b5"))), 2, 5), 0, 5).Draw(t, "rows") {
			var cells []string
			for _, c := range row {
				d := quantity.MustParse(rapid.SampledFrom([]string{"0", "0.10", "-12.5", "7"}).Draw(t, "number"))
				out.inert(c)
				out.numbers(wire.Dec(d), wire.Decimal{})
				cells = append(cells, rim.Inert(c), f.Show(wire.Dec(d)), "")
			}
			out.end()
			_ = w.Write(cells)
		}
		w.Flush()
		if !bytes.Equal(out.buf, want.Bytes()) {
			t.Errorf("got\n%q\nwant\n%q", out.buf, want.Bytes())
		}
	})
}
