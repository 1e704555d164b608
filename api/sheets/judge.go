package sheets

import (
	"endfloat/api/judging"
	"endfloat/api/rim"
	"endfloat/api/table"
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/sheet"
	"endfloat/service/spec"
)

// desk is a filled sheet while it is judged.
type desk struct {
	h      Handlers
	r      *rim.Request
	req    *SheetRequest
	root   wire.At // where the sheet stands in the request
	engine engine
	bench  *judging.Bench
	seen   map[spec.Key]bool
	lines  []filled
	day    string // of the sheet; empty where it does not say
	judged sheet.Judged
	recs   []sheet.Record
}

// Judge answers POST /v1/sheets.
//
//	@Summary		A filled sheet judged, gated and signed
//	@Description	Judges every line as found and as built, says which lines are missing, what each gate is blocked by, where the sheet contradicts itself and what is to be ordered. A line that cannot be read is not_judged with its problem and fails no other; an estimate is never a pass, and closes a gate only with a named waiver and a witness where the spec allows one. Nothing is stored. As HTML it is a report for paper (A4, or US letter with paper=letter). A table has a row a line with the columns id, spec, unit, part, as_found_1 to as_found_8, as_built_1 to as_built_8, how_found, how_built, condition, instrument, standard_uncertainty, accuracy, accuracy_percent, shims_before, shims_after, renewed, retorqued, by, at, tool, calibration_due, witness, waiver_who, waiver_reason and note, and family, variant, engine_number, scope, hours, claim_number and customer_reference, which hold for the whole sheet; the columns of the blank table that say what is allowed are ignored. Signed is a JWS (RFC 7515, EdDSA) over the sheet, the limits that applied, revision, rules and verdicts; the day of signing stands in its header, so that the same sheet judged again has the same payload.
//	@ID				judgeSheet
//	@Tags			sheets
//	@Accept			json,text/csv
//	@Produce		json,text/csv,html
//	@Param			body		body		SheetRequest	true	"the filled sheet"
//	@Param			lang		query		string			false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string			false	"form of the answer"	Enums(json, csv, html)
//	@Param			revision	query		string			false	"a catalogue revision that is still held"
//	@Param			delimiter	query		string			false	"of a CSV body and answer"		Enums(comma, semicolon, tab)
//	@Param			decimal		query		string			false	"mark of a CSV body and answer"	Enums(point, comma)
//	@Param			paper		query		string			false	"size of the paper of an HTML answer"	Enums(a4, letter)
//	@Success		200			{object}	SheetAnswer
//	@Router			/v1/sheets [post]
func (h Handlers) Judge(r *rim.Request) (rim.Reply, error) {
	form, err := table.FormOf(r)
	if err != nil {
		return rim.Reply{}, err
	}
	paper, err := paperOf(r)
	if err != nil {
		return rim.Reply{}, err
	}
	req, rows, err := asked(r, form)
	if err != nil {
		return rim.Reply{}, err
	}
	d, err := h.judge(r, req, rows, "")
	if err != nil {
		return rim.Reply{}, err
	}
	a, err := d.answer()
	if err != nil {
		return rim.Reply{}, err
	}
	switch r.Media {
	case rim.MediaCSV:
		return rim.Ready(d.table(a, form)), nil
	case rim.MediaHTML:
		return d.report(a, paper)
	}
	return rim.JSON(a), nil
}

// asked reads a sheet, JSON or a table.
func asked(r *rim.Request, form table.Form) (*SheetRequest, []tableRow, error) {
	if r.BodyMedia == rim.MediaCSV {
		return fromTable(r.Body, form)
	}
	var req SheetRequest
	if err := r.Decode(&req); err != nil {
		return nil, nil, err
	}
	return &req, nil, nil
}

// judge reads and judges the sheet that stands at root; rows are those of a table, nil for JSON. It ends early where the
// time is up.
func (h Handlers) judge(r *rim.Request, req *SheetRequest, rows []tableRow, root wire.At) (*desk, error) {
	d := &desk{h: h, r: r, req: req, root: root, seen: map[spec.Key]bool{}}
	if err := d.open(); err != nil {
		return nil, err
	}
	d.lines, d.recs = make([]filled, len(req.Lines)), make([]sheet.Record, len(req.Lines))
	for i := range req.Lines {
		if i%128 == 127 && r.Context().Err() != nil {
			return nil, r.Context().Err()
		}
		x := &d.lines[i]
		x.req, x.at = &req.Lines[i], root+wire.At("/lines/"+itoa(i))
		if rows != nil {
			x.row = &rows[i]
			for _, v := range rows[i].faults {
				x.bad.Add(v)
			}
		}
		d.toRecord(&d.recs[i], x, i)
	}
	d.judged = sheet.Judge(d.engine.plan, r.Revision, d.recs, d.day)
	return d, nil
}

// texts checks what is only echoed.
func (q *SheetRequest) texts(at wire.At, bad *fault.List) {
	wire.Fits(q.Claim, maxName, bad, at, "claim_number")
	wire.Fits(q.Customer, maxName, bad, at, "customer_reference")
	wire.Fits(q.Note, judging.MaxNote, bad, at, "note")
}

// open reads what stands at the top. Its faults are those of the whole request.
func (d *desk) open() error {
	var bad fault.List
	q, at := d.req, d.root
	q.texts(at, &bad)
	if q.Hours.Present() {
		if n, ok := q.Hours.Decimal(at.Key("hours"), 3, &bad); ok && n.Sign() < 0 {
			bad.Add(at.Key("hours").Fault("negative", note.New("found_no_engine_run_hours", note.Str("hours", n.String())), note.New("fix_send_zero_or_more")))
		}
	}
	if day := when(q.At, &bad, at, "at"); day.Known() {
		d.day = day.Date()
	}
	if q.Lines == nil {
		bad.Add(at.Key("lines").Fault("missing_lines", note.New("found_sheet_no_lines"), note.New("fix_send_lines_list_up", note.Str("most", "1000"))))
	}
	wire.Limit(len(q.Lines), MaxLines, at.Key("lines"), &bad)
	if f, ok := q.familyOf(d.r.Revision, at, &bad); ok {
		d.engine = q.engine(d.r.Revision, f, at, &bad)
	}
	d.bench = d.h.bench.Bench(d.r, judging.Ground{Engine: d.engine.sel, Rule: q.Rule, Guard: q.Guard, At: at}, &bad)
	return bad.Err()
}
