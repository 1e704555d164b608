package sheets

import (
	"errors"
	"slices"
	"strings"

	"github.com/go-json-experiment/json"

	"endfloat/api/judging"
	"endfloat/api/rim"
	"endfloat/api/signature"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// VerifyRequest is a signed sheet and, where somebody presents one beside it, the filled sheet.
type VerifyRequest struct {
	Signed string        `json:"signed" validate:"required" example:"eyJhbGciOiJFZERTQSJ9.RXhhbXBsZSBvZiBFZDI1NTE5IHNpZ25pbmc.hgyY0il_MGCjP0JzlnLWG1PPOt7-09PGcvMg3AIbQR6dWbhijcNR4ki4iylGjg5BhVsPt9g7sVvpAr_MuM0KAg"`
	Sheet  *SheetRequest `json:"sheet,omitzero"`
} //@name VerifyRequest

// VerifyAnswer says what a signed sheet is worth. Valid is true where the signature fits and the sheet beside it, if there
// is one, is the one that was signed. What was signed comes along, unless a line of it could not be accepted: such a sheet stands
// in the token alone. Nothing but the key is needed to check it.
type VerifyAnswer struct {
	Revision  string           `json:"revision" example:"r-5f1c2a9e0b7d"`
	Rules     string           `json:"rules" example:"1"`
	Outcome   string           `json:"outcome" enums:"valid,valid_judged_otherwise,altered,unknown_key" example:"valid"`
	Valid     bool             `json:"valid" example:"true"`
	Because   string           `json:"because,omitzero" enums:"not_a_token,token_altered,sheet_altered" example:"sheet_altered"`
	Text      string           `json:"text" example:"The signature fits: this is what was signed."`
	KeyID     string           `json:"kid,omitzero" example:"kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k"`
	SignedOn  string           `json:"signed_on,omitzero" example:"2026-11-25"`
	Digest    string           `json:"digest,omitzero"`
	Signed    VerifiedJudgment `json:"signed,omitzero"`
	Today     VerifiedJudgment `json:"today,omitzero"`
	Altered   []AlteredLine    `json:"altered"`
	Otherwise []OtherwiseLine  `json:"otherwise"`
	Problems  []LineProblem    `json:"problems"`
	Sheet     *SheetRequest    `json:"sheet,omitzero"`
	Cautions  []wire.Caution   `json:"cautions"`
} //@name VerifyAnswer

// VerifiedJudgment is how the sheet was judged, under which revision and rules.
type VerifiedJudgment struct {
	Revision     string `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string `json:"revision_date" example:"2026-11-01"`
	Rules        string `json:"rules" example:"1"`
	Verdict      string `json:"verdict" enums:"pass,conditional_pass,conditional_fail,fail,not_judged" example:"pass"`
	Complete     bool   `json:"complete" example:"true"`
} //@name VerifiedJudgment

// AlteredLine is where the sheet that was presented differs from the one that was signed: a line, or what stands at its
// top, which has no spec. Indexes count in the sheet that was presented, and in the signed one where the line was removed.
// Fields are the first 20 places within it that say something else, as JSON Pointers. Numbers are compared by their
// value.
type AlteredLine struct {
	Spec   string   `json:"spec,omitzero" example:"pl-85/counter-shaft/axial-play"`
	ID     string   `json:"id,omitzero" example:"1"`
	Index  int      `json:"index" example:"0"`
	Change string   `json:"change" enums:"changed,added,removed,moved,head" example:"changed"`
	Fields []string `json:"fields,omitzero" example:"/as_built/readings/0/value"`
} //@name AlteredLine

// LineProblem is a line of the sheet that was presented which cannot be accepted, as it would not be by POST /v1/sheets.
type LineProblem struct {
	Spec    string             `json:"spec,omitzero" example:"pl-85/counter-shaft/axial-play"`
	ID      string             `json:"id,omitzero" example:"1"`
	Index   int                `json:"index" example:"0"`
	Problem judging.RowProblem `json:"problem"`
} //@name SheetLineProblem

// OtherwiseLine is a line that would be judged otherwise today.
type OtherwiseLine struct {
	Spec  string `json:"spec" example:"pl-85/counter-shaft/axial-play"`
	ID    string `json:"id,omitzero" example:"1"`
	Index int    `json:"index" example:"0"`
	Then  string `json:"then" enums:"pass,conditional_pass,conditional_fail,fail,not_judged" example:"pass"`
	Today string `json:"today" enums:"pass,conditional_pass,conditional_fail,fail,not_judged" example:"fail"`
} //@name OtherwiseLine

// Verify answers POST /v1/sheets/verify.
//
//	@Summary		A signed sheet checked
//	@Description	Says whether a signed sheet is valid, altered, signed with a key that is not known here, or valid and judged otherwise today. With the filled sheet beside it, as it was sent to be judged, it says which lines differ. Only keys of this service are trusted; a key that stands in the token is never looked at. What is no signature at all is altered, because not_a_token.
//	@ID				verifySheet
//	@Tags			sheets
//	@Accept			json
//	@Produce		json
//	@Param			body		body		VerifyRequest	true	"the signed sheet"
//	@Param			lang		query		string			false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string			false	"form of the answer"	Enums(json)
//	@Param			revision	query		string			false	"a catalogue revision that is still held, to judge by in place of the current one"
//	@Success		200			{object}	VerifyAnswer
//	@Router			/v1/sheets/verify [post]
func (h Handlers) Verify(r *rim.Request) (rim.Reply, error) {
	var req VerifyRequest
	if err := r.Decode(&req); err != nil {
		return rim.Reply{}, err
	}
	var bad fault.List
	if req.Signed == "" {
		bad.Add(wire.At("/signed").Fault("missing_signed", note.New("found_nothing_check"), note.New("fix_send_signed_sheet_s")))
	}
	if err := bad.Err(); err != nil {
		return rim.Reply{}, err
	}
	a := &VerifyAnswer{Revision: r.Revision.Name, Rules: spec.Rules, Altered: []AlteredLine{}, Otherwise: []OtherwiseLine{}, Problems: []LineProblem{},
		Cautions: wire.Resolved([]string{catalogue.VerifyMaker}, r.Lang, h.book, r.Revision.Defaults)}
	return rim.JSON(a), h.verify(r, &req, a)
}

func (h Handlers) verify(r *rim.Request, req *VerifyRequest, a *VerifyAnswer) error {
	opened, err := h.keys.Open(strings.TrimSpace(req.Signed))
	a.KeyID, a.SignedOn = opened.KeyID, opened.SignedOn
	var p payload
	fits := err == nil && json.Unmarshal(opened.Payload, &p) == nil && p.Form == payloadForm
	beside := fits && req.Sheet != nil && req.Sheet.Lines != nil && equal(&p.Sheet, req.Sheet)
	if err := h.presented(r, req.Sheet, beside, a); err != nil {
		return err
	}
	switch {
	case errors.Is(err, signature.ErrUnknownKey):
		a.conclude("unknown_key", "", h.book.Word(r.Lang, "verified_unknown_key"))
		return nil
	case errors.Is(err, signature.ErrAltered):
		a.conclude("altered", "token_altered", h.book.Word(r.Lang, "verified_token_altered"))
		return nil
	case !fits:
		a.KeyID = ""
		a.conclude("altered", "not_a_token", h.book.Word(r.Lang, "verified_not_a_token"))
		return nil
	}
	a.Digest = signature.Digest(opened.Payload)
	if !slices.ContainsFunc(p.Lines, func(l sealedLine) bool { return l.Problem != "" }) {
		a.Sheet = &p.Sheet
	}
	a.Signed = VerifiedJudgment{p.Revision, p.RevisionDate, p.Rules, p.Outcome.Verdict, p.Outcome.Complete}
	if req.Sheet != nil {
		a.Altered = differences(&p.Sheet, req.Sheet)
	}
	same, err := h.again(r, &p, beside, a)
	switch {
	case err != nil:
		return err
	case len(a.Altered) > 0:
		a.conclude("altered", "sheet_altered", h.say(r.Lang, "verified_sheet_altered", note.Count("count", len(a.Altered))))
	case same:
		a.conclude("valid", "", h.book.Word(r.Lang, "verified_valid"))
	default:
		a.conclude("valid_judged_otherwise", "", h.book.Word(r.Lang, "verified_otherwise"))
	}
	return nil
}

func (a *VerifyAnswer) conclude(outcome, because, text string) {
	a.Outcome, a.Because, a.Text = outcome, because, text
	a.Valid = outcome == "valid" || outcome == "valid_judged_otherwise"
}

// presented reads the sheet beside a token as one that was sent to be judged. One that is as it was signed was taken then;
// it is read when it is judged again.
func (h Handlers) presented(r *rim.Request, shown *SheetRequest, same bool, a *VerifyAnswer) error {
	if shown == nil || same {
		return nil
	}
	d, err := h.judge(r, shown, nil, "/sheet")
	if err != nil {
		return err
	}
	a.problems(d)
	return nil
}

// problems lists the lines of the sheet that was presented which cannot be accepted.
func (a *VerifyAnswer) problems(d *desk) {
	for i := range d.lines {
		if x := &d.lines[i]; x.bad.Len() > 0 {
			problem, _ := d.bench.Problem(&x.bad)
			a.Problems = append(a.Problems, LineProblem{Spec: x.req.Spec, ID: x.req.ID, Index: i, Problem: problem})
		}
	}
}

// again judges the signed sheet by the revision of the request. A sheet that it cannot take any more, since its family
// or variant has gone, is judged otherwise. beside says that it stands beside the token as it was signed.
func (h Handlers) again(r *rim.Request, p *payload, beside bool, a *VerifyAnswer) (same bool, err error) {
	root := wire.At("")
	if beside {
		root = "/sheet"
	}
	d, err := h.judge(r, &p.Sheet, p.rows(), root)
	if f := (*fault.Error)(nil); errors.As(err, &f) && f.Kind == fault.Invalid {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	if beside {
		a.problems(d)
	}
	for i := range d.lines {
		if l := d.lines[i].line; l != nil {
			d.bench.Caution(r.Revision.Defaults.CautionsOf(l.Spec())...)
		}
	}
	a.Cautions = d.bench.Cautions()
	a.Today = VerifiedJudgment{r.Revision.Name, r.Revision.Date, spec.Rules, string(d.judged.Verdict), d.judged.Complete}
	for i := range min(len(d.recs), len(p.Lines)) {
		v := d.verdictOf(i)
		if v != p.Lines[i].Verdict {
			a.Otherwise = append(a.Otherwise, OtherwiseLine{Spec: p.Lines[i].Spec, ID: d.recs[i].ID, Index: i, Then: p.Lines[i].Verdict, Today: v})
		}
	}
	gates := make([]sealedGate, len(d.judged.Gates))
	for i, g := range d.judged.Gates {
		gates[i] = sealedGate{string(g.Gate), string(g.State)}
	}
	return len(a.Otherwise) == 0 && a.Today.Verdict == a.Signed.Verdict && a.Today.Complete == a.Signed.Complete && slices.Equal(gates, p.Gates), nil
}
