package face

import (
	"embed"
	"slices"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// PracticeList is the cases that an integrator runs against a client of his own.
type PracticeList struct {
	Items        []PracticeCase `json:"items"`
	Revision     string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string         `json:"revision_date" example:"2026-11-01"`
	Rules        string         `json:"rules" example:"1"`
	Cautions     []wire.Caution `json:"cautions"`
} //@name PracticeList

// PracticeCase is a request and what its answer has to say. It brings its own specs, so that it holds under every
// catalogue, and states every rule that matters, so that it holds under every policy that no key pins.
type PracticeCase struct {
	ID          string        `json:"id" example:"exactly-the-limit"`
	Topic       string        `json:"topic" enums:"evaluations,records,plans,problems" example:"evaluations"`
	Title       string        `json:"title" example:"A reading equal to a limit is inside it"`
	Method      string        `json:"method" enums:"GET,POST" example:"POST"`
	Address     string        `json:"address" example:"/v1/evaluations"`
	ContentType string        `json:"content_type,omitzero" example:"application/json"`
	Request     string        `json:"request,omitzero" example:"{\"checks\":[]}"`
	Status      int           `json:"status" example:"200"`
	Expected    []Expectation `json:"expected"`
} //@name PracticeCase

// Expectation is one value of an answer. The pointer is a JSON Pointer (RFC 6901); a number is compared as a number,
// and absent says that nothing stands at the place.
type Expectation struct {
	Pointer string `json:"pointer" example:"/results/0/verdict"`
	Type    string `json:"type" enums:"string,number,boolean,absent" example:"string"`
	Value   string `json:"value,omitzero" example:"pass"`
} //@name Expectation

// topics are the groups of cases, in the order in which they are learned.
func topics() []string { return []string{"evaluations", "records", "plans", "problems"} }

//go:embed practice
var practiceFiles embed.FS

// practiced is a case as its file has it: the request as JSON or as text, expectations as pairs of pointer and value.
type practiced struct {
	ID          string              `json:"id"`
	Method      string              `json:"method"`
	Address     string              `json:"address"`
	ContentType string              `json:"content_type"`
	Request     jsontext.Value      `json:"request"`
	Status      int                 `json:"status"`
	Expected    [][2]jsontext.Value `json:"expected"`
}

// practice reads the cases. It panics on a broken file, which a test would have shown.
func practice() []PracticeCase {
	var all []PracticeCase
	for _, topic := range topics() {
		body, err := practiceFiles.ReadFile("practice/" + topic + ".json")
		if err != nil {
			panic("face: " + err.Error())
		}
		var list []practiced
		if err := json.Unmarshal(body, &list, json.RejectUnknownMembers(true)); err != nil {
			panic("face: practice/" + topic + ".json: " + err.Error())
		}
		for i := range list {
			all = append(all, list[i].of(topic))
		}
	}
	return all
}

func (p *practiced) of(topic string) PracticeCase {
	c := PracticeCase{ID: p.ID, Topic: topic, Method: "POST", Address: "/v1/evaluations", ContentType: rim.MediaJSON, Status: 200}
	if p.Method != "" {
		c.Method, c.ContentType = p.Method, ""
	}
	if p.Address != "" {
		c.Address = p.Address
	}
	if p.ContentType != "" {
		c.ContentType = p.ContentType
	}
	if p.Status != 0 {
		c.Status = p.Status
	}
	c.Request = plain(p.Request)
	if p.Request.Kind() != '"' {
		_ = p.Request.Compact() // it was read as JSON
		c.Request = string(p.Request)
	}
	for _, pair := range p.Expected {
		kind := map[jsontext.Kind]string{'"': "string", '0': "number", 't': "boolean", 'f': "boolean", 'n': "absent"}[pair[1].Kind()]
		e := Expectation{Pointer: plain(pair[0]), Type: kind, Value: plain(pair[1])}
		if kind == "absent" {
			e.Value = ""
		}
		c.Expected = append(c.Expected, e)
	}
	return c
}

// plain is a JSON value as text, a string without its quotes.
func plain(v jsontext.Value) string {
	var s string
	if v.Kind() == '"' && json.Unmarshal(v, &s) == nil {
		return s
	}
	return string(v)
}

// Practice answers GET /v1/practice.
//
//	@Summary		Cases with expected answers
//	@Description	Requests with what their answers have to say, for an integrator's own tests: send each with its method, address, content_type and request, and compare the status and every expected value. Each brings its own specs and states its rules, so that all hold under every catalogue, without a key that pins a policy. More members than the expected ones are in every answer.
//	@ID				listPractice
//	@Tags			service
//	@Produce		json
//	@Param			topic		query		string	false	"one group of cases"	Enums(evaluations, records, plans, problems)
//	@Param			lang		query		string	false	"language of the titles"	Enums(en, de, fr, it, es)
//	@Param			format		query		string	false	"form of the answer"	Enums(json)
//	@Param			revision	query		string	false	"a catalogue revision that is still held"
//	@Success		200			{object}	PracticeList
//	@Router			/v1/practice [get]
func (h Handlers) Practice(r *rim.Request) (rim.Reply, error) {
	topic := r.One("topic")
	if topic != "" && !slices.Contains(topics(), topic) {
		return rim.Reply{}, rim.BadParameter("topic", "bad_parameter", note.New("found_no_group_cases", note.Str("word", rim.Quote(topic))), note.New("fix_send_one_of", note.Str("list", strings.Join(topics(), ", "))))
	}
	list := PracticeList{Items: []PracticeCase{}, Revision: r.Revision.Name, RevisionDate: r.Revision.Date, Rules: spec.Rules, Cautions: h.always(r)}
	for _, c := range h.practice {
		if topic == "" || topic == c.Topic {
			c.Title = h.book.Word(r.Lang, "practice_"+strings.ReplaceAll(c.ID, "-", "_"))
			list.Items = append(list.Items, c)
		}
	}
	return rim.JSON(list), nil
}
