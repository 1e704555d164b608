package sheet_test

import (
	"slices"
	"testing"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/sheet"
)

func when(t *testing.T, s string) sheet.When {
	t.Helper()
	w, ok := sheet.ParseWhen(s)
	if !ok {
		t.Fatal(s)
	}
	return w
}

func piece(place, thickness string) sheet.Piece {
	return sheet.Piece{Place: place, Printed: dec(thickness), Thickness: dec(thickness).Exact()}
}

// The stack was 0.61 with 2.00 of shims; with 2.40 it is to be 0.21.
func TestContradictions(t *testing.T) {
	t.Parallel()
	const play, bolt, face, nuts, valve = 0, 1, 2, 3, 4
	found := func(value string) func(*sheet.Record) {
		return func(r *sheet.Record) { r.Found = read(r.Line.Spec(), judge.AsFound, "", value, 0.010) }
	}
	shims := func(before, after []sheet.Piece) func(*sheet.Record) {
		return func(r *sheet.Record) { r.HasBefore, r.HasAfter, r.Before, r.After = true, true, before, after }
	}
	old := []sheet.Piece{piece("left", "1.00"), piece("right", "1.00")}
	for _, row := range []struct {
		name   string
		line   int
		change []func(*sheet.Record)
		want   []string
	}{
		{"adds up", play, []func(*sheet.Record){found("0.61"), shims(old, []sheet.Piece{piece("left", "1.20"), piece("right", "1.20")})}, nil},
		{"within the uncertainty", play, []func(*sheet.Record){found("0.63"), shims(old, []sheet.Piece{piece("left", "1.20"), piece("right", "1.20")})}, nil},
		{"does not add up", play, []func(*sheet.Record){found("0.61"), shims(old, []sheet.Piece{piece("left", "1.20"), piece("right", "1.00")})}, []string{"closure_open"}},
		{"changed, no shim named", play, []func(*sheet.Record){found("0.61")}, []string{"changed_without_shim"}},
		{"changed, the shims are the same", play, []func(*sheet.Record){found("0.61"), shims(old, old)}, []string{"changed_without_shim"}},
		{"unchanged, no shim named", play, []func(*sheet.Record){found("0.22")}, nil},
		{"changed without any uncertainty", play, []func(*sheet.Record){func(r *sheet.Record) {
			r.Found, r.Built = read(r.Line.Spec(), judge.AsFound, "", "0.61", 0), read(r.Line.Spec(), judge.AsBuilt, "", "0.21", 0)
		}}, []string{"changed_without_shim"}},
		{"shims at one stage", play, []func(*sheet.Record){found("0.61"), func(r *sheet.Record) { r.HasAfter = true }}, []string{"shims_half_listed"}},
		{"not renewed", play, []func(*sheet.Record){func(r *sheet.Record) { r.Renewed = nil }}, []string{"not_renewed"}},
		{"renewed by the old number", play, []func(*sheet.Record){func(r *sheet.Record) { r.Renewed = []string{"C-1"} }}, nil},
		{"renewed by a number nobody knows", play, []func(*sheet.Record){func(r *sheet.Record) { r.Renewed = append(r.Renewed, "X-9") }}, []string{"renewed_unknown"}},
		{"checked in thread lock", bolt, []func(*sheet.Record){func(r *sheet.Record) { r.Built = read(r.Line.Spec(), judge.AsBuilt, "check", "24", 0.1) }}, []string{"retorqued"}},
		{"said so", bolt, []func(*sheet.Record){func(r *sheet.Record) { r.Retorqued = true }}, []string{"retorqued"}},
		{"a second reading on one bolt", bolt, []func(*sheet.Record){func(r *sheet.Record) {
			r.Built.Check.Readings = append(slices.Clone(r.Built.Check.Readings), measure.Reading{Value: dec("25"), HasValue: true})
		}}, []string{"retorqued"}},
		{"checked where that is allowed", nuts, []func(*sheet.Record){func(r *sheet.Record) { r.Built = read(r.Line.Spec(), judge.AsBuilt, "check", "22", 0.1) }}, nil},
		{"tool past its calibration on the day", face, []func(*sheet.Record){func(r *sheet.Record) { r.Tools = []sheet.Tool{{ID: "m", Due: "2026-11-19"}} }}, []string{"calibration_past"}},
		{"tool good on its last day", face, []func(*sheet.Record){func(r *sheet.Record) { r.Tools = []sheet.Tool{{ID: "m", Due: "2026-11-20"}} }}, nil},
		{"tool without a day of use: that of the sheet counts", face, []func(*sheet.Record){func(r *sheet.Record) {
			r.Tools, r.At = []sheet.Tool{{ID: "m", Due: "2026-11-24"}}, sheet.When{}
		}}, []string{"calibration_past"}},
		{"valve set before the head", valve, []func(*sheet.Record){func(r *sheet.Record) { r.At = when(t, "2026-11-20") }}, []string{"before_prerequisite", "dates_out_of_order"}},
		{"valve set on the day of the head", valve, []func(*sheet.Record){func(r *sheet.Record) { r.At = when(t, "2026-11-21") }}, nil},
		{"valve set an hour before the head", valve, []func(*sheet.Record){func(r *sheet.Record) { r.At = when(t, "2026-11-21T09:00:00Z") }}, nil},
		{"the head is out", nuts, []func(*sheet.Record){func(r *sheet.Record) { r.Built = read(r.Line.Spec(), judge.AsBuilt, "", "40", 0.1) }}, []string{"prerequisite_open"}},
		{"a date after that of the sheet", valve, []func(*sheet.Record){func(r *sheet.Record) { r.At = when(t, "2026-11-26") }}, []string{"date_in_future"}},
		{"the stack after the head", play, []func(*sheet.Record){func(r *sheet.Record) { r.At = when(t, "2026-11-24") }}, []string{"dates_out_of_order", "dates_out_of_order"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			rev := revision(t)
			p := plan(rev, "b", sheet.Full)
			recs := good(p)
			for _, f := range row.change {
				f(&recs[row.line])
			}
			j := sheet.Judge(p, rev, recs, today)
			if got := codes(j); !slices.Equal(got, row.want) {
				t.Errorf("%q, want %q", got, row.want)
			}
			for _, c := range j.Contradictions {
				if c.Blocks && j.Gates[len(j.Gates)-1].State != sheet.Blocked {
					t.Errorf("%s blocks and the first start is %s", c.Note.Code, j.Gates[len(j.Gates)-1].State)
				}
			}
		})
	}
}

// A bevel: a millimetre at the mesh side changes the backlash by 0.65 and not by 1.
func TestClosureOfABevel(t *testing.T) {
	t.Parallel()
	rev := revision(t)
	entry, _ := rev.Shims("f/stack/shims")
	entry.Base.Places[0].PerMM[0].Change = dec("0.65")
	p := plan(rev, "b", sheet.Full)
	recs := good(p)
	r := &recs[0]
	r.Found = read(r.Line.Spec(), judge.AsFound, "", "0.08", 0.010)
	r.HasBefore, r.HasAfter = true, true
	r.Before, r.After = []sheet.Piece{piece("left", "1.00")}, []sheet.Piece{piece("left", "1.20")}
	if got := codes(sheet.Judge(p, rev, recs, today)); len(got) > 0 { // 0.08 + 0.65 · 0.20 = 0.21
		t.Errorf("%q", got)
	}
	r.Before[0].Place, r.After[0].Place = "", ""
	if got := codes(sheet.Judge(p, rev, recs, today)); !slices.Equal(got, []string{"shims_place_unknown"}) {
		t.Errorf("%q", got)
	}
}

func TestSameFigures(t *testing.T) {
	t.Parallel()
	rev := revision(t)
	for _, row := range []struct {
		name   string
		values [5]string
		want   string
	}{
		{"every torque and every play differs", [5]string{"0.21", "24", "11.97", "22", "0.13"}, ""},
		{"three lengths alike", [5]string{"0.12", "24", "0.12", "22", "0.12"}, "same_figure"},
		{"two alike", [5]string{"0.12", "24", "11.97", "22", "0.12"}, ""},
	} {
		p := plan(rev, "b", sheet.Full)
		recs := good(p)
		for i := range recs {
			recs[i].Built = read(recs[i].Line.Spec(), judge.AsBuilt, "", row.values[i], 0.001)
		}
		got := codes(sheet.Judge(p, rev, recs, today))
		if slices.Contains(got, "same_figure") != (row.want != "") {
			t.Errorf("%s: %q", row.name, got)
		}
	}
}

func TestFromLadder(t *testing.T) {
	t.Parallel()
	rev := revision(t)
	entry, _ := rev.Shims("f/stack/shims")
	for _, row := range []struct {
		name, sku, printed, middle string
		variance                   float64
	}{
		{"by its number", "S-120", "1.20", "1.19", 0.02 * 0.02 / 12},
		{"by its thickness", "", "1.00", "0.99", 0.02 * 0.02 / 12},
		{"on no ladder", "", "1.07", "1.07", 0},
	} {
		p := sheet.FromLadder(sheet.Piece{SKU: row.sku, Printed: dec(row.printed), Thickness: dec(row.printed).Exact()}, entry.Base, quantity.Millimetre, quantity.Millimetre)
		if !p.Thickness.Equal(dec(row.middle).Exact()) || p.Variance != row.variance {
			t.Errorf("%s: %v %g", row.name, p.Thickness, p.Variance)
		}
	}
	inches := sheet.FromLadder(sheet.Piece{SKU: "S-120", Printed: dec("0.0472"), Thickness: dec("0.0472").Exact()}, entry.Base, quantity.Inch, quantity.Millimetre)
	if inches.Variance == 0 {
		t.Error("a number is a number in every unit")
	}
}

func TestParseWhen(t *testing.T) {
	t.Parallel()
	for text, ok := range map[string]bool{"2026-11-20": true, "2026-11-20T14:05:00Z": true, "2026-11-20T14:05:00+01:00": true, "2026-02-30": false,
		"20.11.2026": false, "": false, "2026-11-20 14:05": false, "0000-01-01": false, "yesterday": false} {
		if _, got := sheet.ParseWhen(text); got != ok {
			t.Errorf("%q is %v", text, got)
		}
	}
}
