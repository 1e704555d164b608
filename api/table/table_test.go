package table_test

import (
	"errors"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/api/table"
	"endfloat/service/fault"
	"endfloat/service/note"
)

func known() []string { return []string{"id", "value", "note"} }

func usual() note.Note { return note.New("fix_the_columns_are", note.Str("list", "id, value, note")) }

func TestHeads(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, body, code, column, fix string }{
		{"in another order, with spaces and a byte order mark", "\ufeff value ,id\n", "", "", ""},
		{"no head", "", "bad_csv", "", "fix_start_line_names_columns"},
		{"another text than UTF-8", "id,\xff\n", "bad_text", "", "fix_send_utf_8"},
		{"a column that is not known", "id,colour\n", "unknown_column", "colour", "fix_the_columns_are"},
		{"one that stands twice", "id,id\n", "duplicate_column", "id", "fix_name_each_column_once"},
		{"another delimiter than was declared", "id;value\n", "unknown_column", "id;value", "fix_declare_delimiter_decimal_comma"},
		{"a long name is cut between letters", strings.Repeat("ä", 30) + "\n", "unknown_column", strings.Repeat("ä", 20), "fix_the_columns_are"},
		{"a quote in the middle", "id,va\"lue\n", "bad_csv", "", "fix_start_line_names_columns"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			in, err := table.Open([]byte(row.body), table.Form{Delimiter: ','}, known(), usual())
			if row.code == "" {
				if err != nil || !slices.Equal(in.At(), []int{1, 0, -1}) || !slices.Equal(in.Names(), []string{"value", "id"}) {
					t.Fatal(in, err)
				}
				return
			}
			f, is := errors.AsType[*fault.Error](err)
			if !is || f.Kind != fault.Malformed {
				t.Fatal(err)
			}
			v := f.Violations[0]
			if diff := cmp.Diff([]string{row.code, row.column, row.fix}, []string{v.Code, v.At.Column, v.Fix.Code}); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestRows(t *testing.T) {
	t.Parallel()
	in, err := table.Open([]byte("id;value\n1;\"0,1;5\"\n2;3;4\n5;x\"\n"), table.Form{Delimiter: ';'}, known(), usual())
	if err != nil {
		t.Fatal(err)
	}
	first, err := in.Next()
	if diff := cmp.Diff([]string{"1", "0,1;5"}, first); diff != "" || err != nil {
		t.Fatal(diff, err)
	}
	if _, wide := in.TooWide(first, 1); wide {
		t.Error("a row as wide as the head is too wide")
	}
	second, _ := in.Next()
	v, wide := in.TooWide(second, 2)
	if !wide || v.Code != "too_many_cells" || v.At.Row != 2 || v.At.Column != "value" {
		t.Errorf("%v %v", wide, v)
	}
	_, err = in.Next()
	if f, is := errors.AsType[*fault.Error](err); !is || f.Code != "bad_csv" || f.Violations[0].Detail.Code != "found_table_cannot_read_line" {
		t.Errorf("%v", err)
	}
	if _, err = in.Next(); !errors.Is(err, io.EOF) {
		t.Errorf("after the last: %v", err)
	}
}

func TestCells(t *testing.T) {
	t.Parallel()
	point, comma := table.Form{Delimiter: ','}, table.Form{Delimiter: ';', DecimalComma: true}
	var bad fault.List
	for _, row := range []struct {
		form table.Form
		cell string
		want string // digits of each number, with the feel of a blade
	}{
		{point, "0.15", "0.15"}, {comma, "0,15", "0.15"}, {point, "0.15 0.16", "0.15 0.16"}, {point, "0.10:free 0.15:drag", "0.10:free 0.15:drag"},
		{comma, "0,10:free", "0.10:free"}, {point, "clean", "clean"}, {point, "-0.02", "-0.02"},
	} {
		r := row.form.Reading(row.cell, 3, "value", &bad)
		var got []string
		if r.Value.Present() {
			d, _ := r.Value.Decimal("", 9, &bad)
			got = append(got, d.String())
		}
		for _, n := range r.Repeats {
			d, _ := n.Decimal("", 9, &bad)
			got = append(got, d.String())
		}
		for _, b := range r.Blades {
			d, _ := b.Size.Decimal("", 9, &bad)
			got = append(got, d.String()+":"+b.Feel)
		}
		if r.Category != "" {
			got = append(got, r.Category)
		}
		if strings.Join(got, " ") != row.want {
			t.Errorf("%q: %v, want %s", row.cell, got, row.want)
		}
	}
	if bad.Len() > 0 {
		t.Error(bad.Err())
	}
	comma.Number("0.15", 3, "value", &bad)
	if v, faulty := bad.First(); !faulty || v.Code != "decimal_point" || v.At.Row != 3 || v.At.Column != "value" {
		t.Errorf("a decimal point where a comma was declared: %v", v)
	}
}
