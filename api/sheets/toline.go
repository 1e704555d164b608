package sheets

import (
	"strings"

	"endfloat/api/judging"
	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/sheet"
	"endfloat/service/spec"
)

// filled is a line while it is answered: what was said, what the readings mean, and what is wrong with it.
type filled struct {
	req   *LineRequest
	at    wire.At
	row   *tableRow // nil: the line came as JSON
	line  *sheet.Line
	bad   fault.List
	found *judging.Result // nil: nothing was said of the stage
	built *judging.Result
}

// toRecord reads and judges one line. What is wrong with it is the line's alone.
func (d *desk) toRecord(rec *sheet.Record, x *filled, i int) {
	q, bad := x.req, &x.bad
	*rec = sheet.Record{ID: q.ID, Index: i, Key: spec.Key(q.Spec), Reused: q.Part == "reused", Renewed: q.Renewed, Retorqued: q.Retorqued,
		By: strings.TrimSpace(q.By), Witness: strings.TrimSpace(q.Witness)}
	x.texts()
	rec.At = when(q.At, bad, x.at, "at")
	if q.Waiver != nil {
		rec.Waiver = sheet.Waiver{Who: strings.TrimSpace(q.Waiver.Who), Reason: strings.TrimSpace(q.Waiver.Reason)}
	}
	rec.Tools = x.tools()
	x.line = d.lineOf(q, x.at, bad)
	rec.Line = x.line
	if x.line == nil {
		rec.Bad = true
		return
	}
	found, hasFound := d.read(x, q.AsFound, "as_found")
	built, hasBuilt := d.read(x, q.AsBuilt, "as_built")
	x.shims(d.r.Revision, rec)
	if rec.Bad = bad.Len() > 0; rec.Bad {
		return
	}
	if hasFound {
		rec.Found.Has = true
		x.found, rec.Found.Check, rec.Found.Result = d.bench.Judge(found, i)
	}
	if hasBuilt {
		rec.Built.Has = true
		x.built, rec.Built.Check, rec.Built.Result = d.bench.Judge(built, i)
	}
}

// lineOf is the line of the sheet that a spec stands in; nil with the reason where there is none, or where an earlier
// line has it already.
func (d *desk) lineOf(q *LineRequest, at wire.At, bad *fault.List) *sheet.Line {
	key, rev := spec.Key(q.Spec), d.r.Revision
	l, ok := d.engine.plan.Line(key)
	if ok && !d.seen[key] {
		d.seen[key] = true
		return l
	}
	at = at.Key("spec")
	switch {
	case ok:
		bad.Add(at.Fault("line_twice", note.New("found_earlier_line_already", note.Str("spec", q.Spec)), note.New("fix_put_all_readings_spec")))
		return nil
	case q.Spec == "":
		bad.Add(at.Fault("missing_spec", note.New("found_line_names_spec"), note.New("fix_send_spec_key_family")))
		return nil
	}
	family, _, _ := strings.Cut(q.Spec, "/")
	if _, known := rev.Entry(key); known && family == d.engine.plan.Family.Key {
		bad.Add(at.Fault("not_in_scope", note.New("found_not_scope", note.Str("spec", q.Spec), note.Str("scope", d.engine.plan.Scope)), note.New("fix_send_wider_scope", note.Str("scope", sheet.Full))))
	} else if known {
		bad.Add(at.Fault("other_family", note.New("found_another_family", note.Str("spec", q.Spec), note.Str("family", d.engine.plan.Family.Key)), note.New("fix_send_sheet_own")))
	} else {
		detail := note.New("found_no_spec_key", note.Str("key", rim.Quote(q.Spec)))
		if near, ok := rev.NearestSpec(key); ok {
			detail = note.New("found_no_spec_key_nearest", detail.Params[0], note.Str("near", near))
		}
		bad.Add(at.Fault("unknown_spec", detail, note.New("fix_get_lists_every_line", note.Str("address", "/v1/families/"+d.engine.plan.Family.Key+"/sheet"))))
	}
	return nil
}

// read reads the readings of a stage as a check of their own.
func (d *desk) read(x *filled, s *StageRequest, stage string) (*judging.Row, bool) {
	if !s.has() {
		return nil, false
	}
	q, at := x.req, x.at.Key(stage)
	row := d.bench.Read(&judging.CheckRequest{ID: q.ID, Spec: q.Spec, Unit: q.Unit, Readings: s.Readings, Sizes: s.Sizes,
		Instrument: s.Instrument, How: s.How, Stage: stage, Part: q.Part, Condition: s.Condition}, at)
	row.Faults(func(v fault.Violation) {
		for _, shared := range [...]string{"unit", "part", "id"} {
			if v.At.Pointer == string(at)+"/"+shared {
				v.At.Pointer = string(x.at) + "/" + shared
				if stage == "as_built" && x.req.AsFound.has() {
					return // said with the other stage already
				}
			}
		}
		x.bad.Add(v)
	})
	return row, true
}

func (x *filled) texts() {
	q := x.req
	wire.Fits(q.ID, maxName, &x.bad, x.at, "id")
	wire.Fits(q.Spec, 200, &x.bad, x.at, "spec")
	wire.Fits(q.By, maxName, &x.bad, x.at, "by")
	wire.Fits(q.Witness, maxName, &x.bad, x.at, "witness")
	wire.Fits(q.Tool.ID, maxName, &x.bad, x.at, "tool", "id")
	wire.Fits(q.Note, judging.MaxNote, &x.bad, x.at, "note")
	if q.Waiver != nil {
		wire.Fits(q.Waiver.Who, maxName, &x.bad, x.at, "waiver", "who")
		wire.Fits(q.Waiver.Reason, maxReason, &x.bad, x.at, "waiver", "reason")
	}
	if q.Part != "" {
		_, _ = wire.Word(q.Part, x.at.Key("part"), &x.bad, "new", "reused")
	}
	if len(q.Renewed) == 0 || !wire.Limit(len(q.Renewed), MaxRenewed, x.at.Key("renewed"), &x.bad) {
		return
	}
	for i, sku := range q.Renewed {
		if !isSKU(sku) {
			x.bad.Add(x.at.Key("renewed").Index(i).Fault("bad_sku", note.New("found_no_part_number", note.Str("sku", rim.Quote(sku))), note.New("fix_send_letters_digits_dots", note.Str("least", "1"), note.Str("most", "64"))))
		}
	}
}

func isSKU(s string) bool {
	return s != "" && len(s) <= maxName && !strings.ContainsFunc(s, func(c rune) bool {
		return (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') && (c < '0' || c > '9') && c != '.' && c != '_' && c != '-'
	})
}

// tools are what the line names and what its instruments name, each with the end of its calibration.
func (x *filled) tools() (list []sheet.Tool) {
	q := x.req
	add := func(id, due string, keys ...string) {
		if due == "" {
			return
		}
		if due := when(due, &x.bad, x.at, append(keys, "calibration_due")...); due.Known() {
			list = append(list, sheet.Tool{ID: id, Due: due.Date()})
		}
	}
	add(q.Tool.ID, q.Tool.CalibrationDue, "tool")
	for _, s := range [...]struct {
		key   string
		stage *StageRequest
	}{{"as_found", q.AsFound}, {"as_built", q.AsBuilt}} {
		if s.stage != nil {
			add(s.stage.Instrument.ID, s.stage.Instrument.CalibrationDue, s.key, "instrument")
		}
	}
	return list
}

// when reads a date; one that cannot be read is a fault. An empty text is no date. Keys lead to it from at.
func when(text string, bad *fault.List, at wire.At, keys ...string) sheet.When {
	if text == "" {
		return sheet.When{}
	}
	w, ok := sheet.ParseWhen(text)
	if !ok || len(text) > maxName {
		for _, k := range keys {
			at = at.Key(k)
		}
		bad.Add(at.Fault("bad_date", note.New("found_no_date", note.Str("word", rim.Quote(text))), note.New("fix_send_date_or_moment", note.Str("day", "2026-11-20"), note.Str("moment", "2026-11-20T14:05:00Z"))))
		return sheet.When{}
	}
	return w
}

// shims reads the pieces before and after.
func (x *filled) shims(rev *catalogue.Revision, rec *sheet.Record) {
	q, s := x.req, x.line.Spec()
	rec.HasBefore, rec.HasAfter = q.ShimsBefore != nil, q.ShimsAfter != nil
	if !rec.HasBefore && !rec.HasAfter {
		return
	}
	if s.AdjustedBy == "" {
		at := x.at.Key("shims_after")
		if rec.HasBefore {
			at = x.at.Key("shims_before")
		}
		x.bad.Add(at.Fault("not_shimmed", note.New("found_no_shim_adjusts", note.Str("spec", q.Spec)), note.New("fix_put_shims_into_line")))
		return
	}
	unit, ok := wire.Unit(q.Unit, s.Unit, x.at.Key("unit"), &x.bad)
	if !ok {
		return
	}
	set := setOf(rev, s.AdjustedBy)
	for _, side := range [...]struct {
		key  string
		list []ShimRequest
		to   *[]sheet.Piece
	}{{"shims_before", q.ShimsBefore, &rec.Before}, {"shims_after", q.ShimsAfter, &rec.After}} {
		at := x.at.Key(side.key)
		if !wire.Limit(len(side.list), MaxPieces, at, &x.bad) {
			continue
		}
		for i := range side.list {
			*side.to = append(*side.to, side.list[i].toPiece(unit, s.Unit, set, at.Index(i), &x.bad))
		}
	}
}

func setOf(rev *catalogue.Revision, key spec.Key) *spec.ShimSet {
	if e, ok := rev.Shims(key); ok {
		return e.Base
	}
	return &spec.ShimSet{Unit: quantity.Millimetre}
}
