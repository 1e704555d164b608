package client

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// cut is a table cut into chunks, each read again by encoding/csv, without the heads.
func cut(table string, delimiter rune, rows int, unit string) (head []string, all [][]string, sizes []int, err error) {
	source := io.Reader(strings.NewReader(table))
	if len(table) < 1<<16 {
		source = iotest.OneByteReader(source)
	}
	in, err := newRecords(source, delimiter, rows, unit)
	if err != nil {
		return nil, nil, nil, err
	}
	for {
		c, err := in.chunk()
		if errors.Is(err, io.EOF) {
			return head, all, sizes, nil
		}
		if err != nil {
			return nil, nil, nil, err
		}
		if c.before != len(all) {
			return nil, nil, nil, errors.New("a chunk does not follow the one in front")
		}
		again := csv.NewReader(bytes.NewReader(c.body))
		again.Comma, again.FieldsPerRecord = delimiter, -1
		list, err := again.ReadAll()
		if err != nil {
			return nil, nil, nil, err
		}
		if len(list)-1 != c.rows {
			return nil, nil, nil, errors.New("a chunk counts its rows wrongly")
		}
		head, all, sizes = list[0], append(all, list[1:]...), append(sizes, c.rows)
	}
}

func TestATableIsCutBetweenRecords(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, table string
		unit        string
		head        []string
		rows        [][]string
		sizes       []int
	}{
		{"no line end at the end", "a,b\n1,2\n3,4", "", []string{"a", "b"}, [][]string{{"1", "2"}, {"3", "4"}}, []int{2}},
		{"a head alone", "a,b", "", []string{"a", "b"}, nil, []int{0}},
		{"line ends in cells", "a,b\r\n\"1\r\n\",2\r\n3,\"4\n\n\"\r\n5,6\r\n", "", []string{"a", "b"}, [][]string{{"1\n", "2"}, {"3", "4\n\n"}, {"5", "6"}}, []int{2, 1}},
		{"blank lines are no records", "\n\na\n\n1\n\n\n2\n\n3\n", "", []string{"a"}, [][]string{{"1"}, {"2"}, {"3"}}, []int{2, 1}},
		{"just full", "a\n1\n2\n", "", []string{"a"}, [][]string{{"1"}, {"2"}}, []int{2}},
		{"a mark in front of the head", "\ufeff\"a\"\n1\n", "", []string{"a"}, [][]string{{"1"}}, []int{1}},
		{"a unit for rows of any length", "\na,b\n\n1\n3,4\n", "mm", []string{"unit", "a", "b"}, [][]string{{"mm", "1"}, {"mm", "3", "4"}}, []int{2}},
	} {
		head, rows, sizes, err := cut(row.table, ',', 2, row.unit)
		if err != nil {
			t.Errorf("%s: %v", row.name, err)
		}
		if d := cmp.Diff([]any{row.head, row.rows, row.sizes}, []any{head, rows, sizes}); d != "" {
			t.Errorf("%s (-want +got):\n%s", row.name, d)
		}
	}
}

func TestWhatIsNoTableIsRefused(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("x", 1<<20)
	for _, row := range []struct{ name, table, unit, says string }{
		{"nothing", "", "", "empty"},
		{"blank lines alone", "\n\n", "", "empty"},
		{"a bare quote", "a\nx\"y\n", "", "line 2"},
		{"a quote that is never closed", "a\n1\n\"" + strings.Repeat(long, 9), "", "after row 1"},
		{"a record that no request carries", "a\n" + strings.Repeat(long, 8) + "\n", "", "row 1"},
		{"a unit beside the column", "id, unit\n1,mm\n", "mm", "already"},
		{"a unit that would be cells", "id\n1\n", "mm,x", "no unit"},
	} {
		_, _, _, err := cut(row.table, ',', 2, row.unit)
		if err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%s: %v", row.name, err)
		}
	}
}

// Eight records of just over a MiB: seven fit in a request with the head.
func TestAChunkHasNoMoreBytesThanARequestMay(t *testing.T) {
	t.Parallel()
	one := strings.Repeat("x", 1<<20) + "\n"
	_, _, sizes, err := cut("a\n"+strings.Repeat(one, 8), ',', 100, "")
	if err != nil || !slices.Equal(sizes, []int{7, 1}) {
		t.Errorf("%v %v", sizes, err)
	}
}

// What encoding/csv writes comes back record by record, however it is cut.
func TestCuttingLosesNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.StringOfN(rapid.SampledFrom([]rune("ab,;\"\n \u00e9")), 0, 6, -1)
		rows := rapid.SliceOfN(rapid.SliceOfN(cell, 2, 4), 1, 12).Draw(t, "rows")
		delimiter := rapid.SampledFrom([]rune{',', ';', '\t'}).Draw(t, "delimiter")
		var b bytes.Buffer
		out := csv.NewWriter(&b)
		out.Comma = delimiter
		if err := out.WriteAll(rows); err != nil {
			t.Fatal(err)
		}
		head, got, _, err := cut(b.String(), delimiter, rapid.IntRange(1, 5).Draw(t, "most"), "")
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(rows, append([][]string{head}, got...)); d != "" {
			t.Error(d)
		}
	})
}

// Whatever is sent, cutting agrees with encoding/csv about what the records are, and with record about where they end.
func FuzzRecords(f *testing.F) {
	f.Add("a,b\n1,2\n", ",")
	f.Add("\ufeffa;b\r\n\"1\n\";2", ";")
	f.Add("a\n\n\"\"\"\n\"\n", "\t")
	f.Fuzz(func(t *testing.T, table, delimiter string) {
		if delimiter != "," && delimiter != ";" && delimiter != "\t" {
			return
		}
		whole := csv.NewReader(strings.NewReader(strings.TrimPrefix(table, "\ufeff")))
		whole.Comma, whole.FieldsPerRecord = rune(delimiter[0]), -1
		want, bad := whole.ReadAll()
		head, got, _, err := cut(table, rune(delimiter[0]), 3, "")
		if (bad == nil && len(want) > 0) != (err == nil) {
			t.Fatalf("%q: %v, and encoding/csv says %v", table, err, bad)
		}
		if err != nil {
			return
		}
		if d := cmp.Diff(want, append([][]string{head}, got...)); d != "" {
			t.Errorf("%q: %s", table, d)
		}
	})
}
