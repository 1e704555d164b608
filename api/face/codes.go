package face

import (
	"slices"
	"strings"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// CodeList is every code of this build.
type CodeList struct {
	Items        []Code         `json:"items"`
	Revision     string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string         `json:"revision_date" example:"2026-11-01"`
	Rules        string         `json:"rules" example:"1"`
	Cautions     []wire.Caution `json:"cautions"`
} //@name CodeList

// Code is a code with its sentence; a name in braces stands for a value. A word of a result names its axis, the field in
// which it stands.
type Code struct {
	Code     string   `json:"code" example:"left_hand_thread"`
	Kind     string   `json:"kind" enums:"caution,note,fault" example:"caution"`
	Axis     string   `json:"axis,omitzero" example:"verdict"`
	Severity int      `json:"severity,omitzero" example:"1"`
	Text     string   `json:"text" example:"Left-hand thread: tightens anticlockwise, loosens clockwise."`
	Params   []string `json:"params,omitzero" example:"spread"`
} //@name Code

// Kinds of codes.
const (
	kindCaution = "caution"
	kindNote    = "note"
	kindFault   = "fault"
)

// Codes answers GET /v1/codes.
//
//	@Summary		Every code with its sentence
//	@Description	Cautions with their severity, what results say beside a value, what faults say, and the words of a result, which are notes that name their axis. Codes and parameters stay, sentences may change.
//	@ID				listCodes
//	@Tags			service
//	@Produce		json
//	@Param			kind		query		string	false	"one kind of code"	Enums(caution, note, fault)
//	@Param			lang		query		string	false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string	false	"form of the answer"	Enums(json)
//	@Param			revision	query		string	false	"a catalogue revision that is still held"
//	@Success		200			{object}	CodeList
//	@Router			/v1/codes [get]
func (h Handlers) Codes(r *rim.Request) (rim.Reply, error) {
	kind := r.One("kind")
	kinds := []string{kindCaution, kindNote, kindFault}
	if kind != "" && !slices.Contains(kinds, kind) {
		return rim.Reply{}, rim.BadParameter("kind", "bad_parameter", note.New("found_no_kind_code", note.Str("word", rim.Quote(kind))), note.New("fix_send_one_of", note.Str("list", strings.Join(kinds, ", "))))
	}
	list := CodeList{Items: []Code{}, Revision: r.Revision.Name, RevisionDate: r.Revision.Date, Rules: spec.Rules, Cautions: h.always(r)}
	for _, code := range h.book.Codes() {
		c, ok := h.code(r.Lang, code, r.Revision.Defaults)
		if ok && (kind == "" || kind == c.Kind) {
			list.Items = append(list.Items, c)
		}
	}
	if kind == "" || kind == kindNote {
		for _, a := range axes() {
			list.Items = append(list.Items, h.words(r.Lang, a)...)
		}
	}
	return rim.JSON(list), nil
}

// code is a code as answers show it; phrases that only build texts are none.
func (h Handlers) code(lang, code string, d catalogue.Defaults) (Code, bool) {
	for _, of := range [...]string{"word_", "link_", "found_", "fix_", "absent_", "practice_"} {
		if strings.HasPrefix(code, of) {
			return Code{}, false
		}
	}
	sentence, params := h.book.Template(lang, code)
	c := Code{Code: code, Kind: kindNote, Text: sentence, Params: params}
	if fault, is := strings.CutPrefix(code, "fault_"); is {
		c.Code, c.Kind = fault, kindFault
	}
	for _, known := range d.Cautions {
		if known.Code == code {
			c.Kind, c.Severity = kindCaution, known.Severity
		}
	}
	return c, true
}
