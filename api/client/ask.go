package client

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// Question names what is to be looked up.
type Question struct {
	Key    string // family, family/component, family/component/spec (or shims), or a part number
	Unit   string // to convert to, such as in or lbf·ft, or imperial or metric for whatever has a unit; empty: as published
	Lang   string // empty: English
	Output string // text, csv or json; empty: text
	// Variant and EngineNumber narrow to an engine; empty: all.
	Variant, EngineNumber string
}

// slug is a key of a family, component, spec or set of shims.
var slug = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// thing is one address where the answer may be.
type thing struct {
	path string
	kind string // family, component, spec, shims, part
}

// places are where a key may be found, the likelier first.
func places(key string) ([]thing, error) {
	parts := strings.Split(key, "/")
	bad := fmt.Errorf("%q is no key: write family, family/component, family/component/spec or a part number", Plain(key))
	if low := strings.ToLower(key); low != key && len(parts) > 1 && !slices.ContainsFunc(strings.Split(low, "/"), func(p string) bool { return !slug.MatchString(p) }) {
		bad = fmt.Errorf("%q is no key, since keys have small letters: write %s", Plain(key), low)
	}
	if key == "" || len(parts) > 3 {
		return nil, bad
	}
	var path strings.Builder
	for i, p := range parts {
		if p == "" || p == "." || p == ".." || len(parts) > 1 && !slug.MatchString(p) {
			return nil, bad
		}
		path.WriteString([]string{"/v1/families/", "/components/", "/specs/"}[i] + url.PathEscape(p))
	}
	at := path.String()
	switch len(parts) {
	case 3:
		return []thing{{at, "spec"}, {strings.Replace(at, "/specs/", "/shims/", 1), "shims"}}, nil
	case 2:
		return []thing{{at, "component"}}, nil
	}
	part := thing{"/v1/parts/" + url.PathEscape(key), "part"}
	if !slug.MatchString(key) {
		return []thing{part}, nil
	}
	return []thing{{at, "family"}, part}, nil
}

// Ask looks one thing up and writes the answer: as text the first line is what is needed with its warnings, and
// everything else comes below it. Errors: no such thing, a question that the service refuses, a service out of reach.
func (c *Client) Ask(ctx context.Context, out io.Writer, q Question) error {
	tries, err := places(q.Key)
	if err != nil {
		return err
	}
	if q.Output == "csv" {
		return c.askTable(ctx, out, tries[0], q)
	}
	var first error
	var said []string // what each place says of the key: what is near
	for _, t := range tries {
		got, err := c.do(ctx, call{method: http.MethodGet, path: t.path, query: t.query(q), media: "application/json", lang: q.Lang})
		var r *Refusal
		if errors.As(err, &r) && r.Status == http.StatusNotFound {
			said = append(said, r.Detail)
			if first == nil {
				first = err // it names what is near
			}
			continue
		}
		if err != nil {
			return err
		}
		if q.Output == "json" {
			return pretty(out, got.body)
		}
		text, err := t.text(got.body)
		if err == nil {
			_, err = io.WriteString(out, text)
		}
		return err
	}
	if len(tries) == 2 && tries[1].kind == "part" {
		return fmt.Errorf("%q is neither a family nor a part number: %s", q.Key, strings.TrimSuffix(strings.Join(said, " "), "."))
	}
	if low := strings.ToLower(q.Key); low != q.Key && tries[0].kind == "part" && slug.MatchString(low) {
		if _, err := c.do(ctx, call{method: http.MethodGet, path: "/v1/families/" + low, media: "application/json", lang: q.Lang}); err == nil {
			return fmt.Errorf("%q is no part number; keys of families have small letters: write %s", q.Key, low)
		}
	}
	return first
}

func pretty(out io.Writer, body []byte) error {
	v := jsontext.Value(body)
	if err := v.Indent(jsontext.WithIndent("  ")); err != nil {
		return err
	}
	_, err := out.Write(append(v, '\n'))
	return err
}

func (t thing) query(q Question) url.Values {
	v := url.Values{}
	set := func(name, value string) {
		if value != "" {
			v.Set(name, value)
		}
	}
	if t.kind == "family" {
		return v
	}
	switch q.Unit {
	case "imperial", "metric":
		set("unit_system", q.Unit)
	default:
		set("unit", q.Unit)
	}
	if t.kind != "part" {
		set("variant", q.Variant)
		set("engine_number", q.EngineNumber)
	}
	return v
}

// askTable writes the rows of the list of specs that lie below a key.
func (c *Client) askTable(ctx context.Context, out io.Writer, t thing, q Question) error {
	parts := strings.Split(q.Key, "/")
	if t.kind == "part" {
		return errors.New("a part has no table; ask for text or json")
	}
	v := url.Values{"family": {parts[0]}}
	if len(parts) > 1 {
		v.Set("component", parts[1])
	}
	if q.Variant != "" {
		v.Set("variant", q.Variant)
	}
	if q.EngineNumber != "" {
		v.Set("engine_number", q.EngineNumber)
	}
	if q.Unit == "imperial" || q.Unit == "metric" {
		v.Set("unit_system", q.Unit)
	} else if q.Unit != "" {
		return errors.New("a table is converted as a whole: ask for the unit imperial or metric")
	}
	got, err := c.do(ctx, call{method: http.MethodGet, path: "/v1/specs", query: v, media: "text/csv", lang: q.Lang})
	if err != nil {
		return err
	}
	head, rest := record(got.body)
	rows := slices.Clone(head)
	for len(rest) > 0 {
		var one []byte
		one, rest = record(rest)
		if len(parts) < 3 || strings.HasPrefix(string(one), q.Key+",") {
			rows = append(rows, one...)
		}
	}
	if len(rows) == len(head) {
		return fmt.Errorf("there is no spec %s", q.Key)
	}
	_, err = out.Write(rows)
	return err
}

// revision is the catalogue revision in use.
func (c *Client) revision(ctx context.Context) (string, error) {
	got, err := c.do(ctx, call{method: http.MethodGet, path: "/v1", media: "application/json"})
	if err != nil {
		return "", err
	}
	var doc struct {
		Revision string `json:"revision"`
	}
	if err := json.Unmarshal(got.body, &doc); err != nil || doc.Revision == "" {
		return "", fmt.Errorf("%s answers, and is not this service", c.base.Redacted())
	}
	return doc.Revision, nil
}

// cautions are all warnings there are, the most severe first.
func (c *Client) cautions(ctx context.Context, lang string) ([]caution, error) {
	got, err := c.do(ctx, call{method: http.MethodGet, path: "/v1/codes", query: url.Values{"kind": {"caution"}}, media: "application/json", lang: lang})
	if err != nil {
		return nil, err
	}
	var doc struct {
		Items []caution `json:"items"`
	}
	if err := json.Unmarshal(got.body, &doc); err != nil {
		return nil, err
	}
	slices.SortStableFunc(doc.Items, func(a, b caution) int { return a.Severity - b.Severity })
	return doc.Items, nil
}
