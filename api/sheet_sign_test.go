package api_test

import (
	"encoding/csv"
	"encoding/json"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/api"
	"endfloat/api/apitest"
	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/specdb"
)

type verified struct {
	Outcome, Because, Text, KID, Digest string
	Valid                               bool
	Signed, Today                       struct{ Revision, Verdict string }
	Altered                             []struct {
		Spec, ID, Change string
		Index            int
		Fields           []string
	}
	Cautions  []caution
	Otherwise []struct{ Spec, Then, Today string }
	Sheet     json.RawMessage
}

func verify(t *testing.T, h http.Handler, token, sheet string) (a verified) {
	t.Helper()
	text, _ := json.Marshal(token)
	body := `{"signed":` + string(text) + `}`
	if sheet != "" {
		body = `{"signed":` + string(text) + `,"sheet":` + sheet + `}`
	}
	w := post(h, "/v1/sheets/verify", body)
	if w.Code != http.StatusOK {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil {
		t.Fatal(err)
	}
	if a.Text == "" || (a.Outcome == "valid" || a.Outcome == "valid_judged_otherwise") != a.Valid {
		t.Errorf("%+v", a)
	}
	return a
}

func TestSignedSheetIsVerified(t *testing.T) {
	t.Parallel()
	h := signing(t, "private.pem")
	body := example(t)
	a := judgeSheet(t, h, body)
	if !a.Signature.Signed || a.Signature.Algorithm != "EdDSA" || len(a.Signature.Digest) != 64 || a.Signed == "" {
		t.Fatalf("%+v", a.Signature)
	}
	for _, row := range []struct {
		name, token, sheet, outcome, because string
		changes                              []string
	}{
		{"alone", a.Signed, "", "valid", "", nil},
		{"with its sheet", a.Signed, body, "valid", "", nil},
		{"a figure changed", a.Signed, strings.Replace(body, `0.22`, `0.23`, 1), "altered", "sheet_altered", []string{"changed pl-85/counter-shaft/axial-play 0 /as_built/readings/1/value"}},
		{"a zero added, as programs write numbers", a.Signed, strings.Replace(body, `0.22`, `0.220`, 1), "valid", "", nil},
		{"zeros dropped", a.Signed, strings.ReplaceAll(body, `"thickness": 1.00`, `"thickness": 1`), "valid", "", nil},
		{"a figure in words", a.Signed, strings.Replace(body, "new thread lock", "new thread lock 0.220", 1), "altered", "sheet_altered", []string{"changed pl-85/counter-shaft/key-bolt 1 /note"}},
		{"white space around it", "\n " + a.Signed + "\r\n", body, "valid", "", nil},
		{"the claim changed", a.Signed, strings.Replace(body, `C-1044`, `C-1045`, 1), "altered", "sheet_altered", []string{"head  0 /claim_number"}},
		{"the witness changed", a.Signed, strings.Replace(body, `"witness": "foreman"`, `"witness": "nobody"`, 1), "altered", "sheet_altered", []string{"changed pl-85/counter-shaft/key-bolt 1 /witness"}},
		{"a line removed", a.Signed, cut(t, body, 1), "altered", "sheet_altered", []string{"removed pl-85/counter-shaft/key-bolt 1"}},
		{"lines exchanged", a.Signed, turned(t, body), "altered", "sheet_altered", []string{"moved pl-85/counter-shaft/axial-play 1"}},
		{"truncated at four letters", a.Signed[:len(a.Signed)-10], "", "altered", "token_altered", nil},
		{"truncated within them", a.Signed[:len(a.Signed)-9], "", "altered", "not_a_token", nil},
		{"truncated to nothing much", a.Signed[:40], "", "altered", "not_a_token", nil},
		{"payload exchanged", swapPayload(a.Signed), "", "altered", "token_altered", nil},
		{"alg none", "eyJhbGciOiJub25lIn0." + strings.Split(a.Signed, ".")[1] + ".", "", "altered", "not_a_token", nil},
		{"RFC 8037, A.4: no kid", "eyJhbGciOiJFZERTQSJ9.RXhhbXBsZSBvZiBFZDI1NTE5IHNpZ25pbmc.hgyY0il_MGCjP0JzlnLWG1PPOt7-09PGcvMg3AIbQR6dWbhijcNR4ki4iylGjg5BhVsPt9g7sVvpAr_MuM0KAg", "", "unknown_key", "", nil},
		{"words", "no token at all", "", "altered", "not_a_token", nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			v := verify(t, h, row.token, row.sheet)
			var changes []string
			for _, c := range v.Altered {
				changes = append(changes, strings.TrimSpace(c.Change+" "+c.Spec+" "+string(rune('0'+c.Index))+" "+strings.Join(c.Fields, " ")))
			}
			if v.Outcome != row.outcome || v.Because != row.because || !slices.Equal(changes, row.changes) {
				t.Errorf("%s %s %q", v.Outcome, v.Because, changes)
			}
			if v.Valid && v.Digest != a.Signature.Digest {
				t.Error("another digest")
			}
			for _, code := range []string{"demo_values", "left_hand_thread", "verify_with_maker"} {
				if v.Valid && !slices.ContainsFunc(v.Cautions, func(c caution) bool { return c.Code == code }) {
					t.Errorf("no caution %s", code)
				}
			}
		})
	}
	if v := verify(t, signing(t, "other.jwk"), a.Signed, ""); v.Outcome != "unknown_key" || v.KID != a.Signature.KID {
		t.Errorf("%+v", v)
	}
	if w := post(h, "/v1/sheets/verify", `{"signed":""}`); w.Code != 422 || !strings.Contains(w.Body.String(), "missing_signed") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}

// changed is a filled sheet after something was done to its lines.
func changed(t *testing.T, body string, f func([]any) []any) string {
	t.Helper()
	var v map[string]any
	d := json.NewDecoder(strings.NewReader(body))
	d.UseNumber()
	if err := d.Decode(&v); err != nil {
		t.Fatal(err)
	}
	lines, _ := v["lines"].([]any)
	v["lines"] = f(lines)
	out, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

func cut(t *testing.T, body string, n int) string {
	return changed(t, body, func(l []any) []any { return l[:n] })
}

func turned(t *testing.T, body string) string {
	return changed(t, body, func(l []any) []any { slices.Reverse(l); return l })
}

func swapPayload(token string) string {
	p := strings.Split(token, ".")
	return p[0] + ".e30." + p[2]
}

// A replay signs the same payload, whatever the language, the form and the order of the keys.
func TestReplayHasTheSameBytes(t *testing.T) {
	t.Parallel()
	h := signing(t, "private.pem")
	body := example(t)
	first := judgeSheet(t, h, body)
	for _, lang := range []string{"de", "fr", "it", "es"} {
		w := post(h, "/v1/sheets?lang="+lang, changed(t, body, func(l []any) []any { return l }))
		var a sheetAnswer
		if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil {
			t.Fatal(err)
		}
		if payloadOf(t, a.Signed) != payloadOf(t, first.Signed) || a.Signature.Digest != first.Signature.Digest {
			t.Errorf("%s: another payload", lang)
		}
	}
	for _, media := range []string{"text/html", "text/csv"} {
		if page := asked(t, h, body, media); !strings.Contains(page, first.Signature.Digest) {
			t.Errorf("%s has no digest", media)
		}
	}
	var p map[string]any
	if err := json.Unmarshal([]byte(payloadOf(t, first.Signed)), &p); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"revision", "rules", "policy", "sheet", "lines", "outcome", "gates"} {
		if p[key] == nil {
			t.Errorf("%s is not signed", key)
		}
	}
}

func TestUnsignedSheetSaysSo(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	a := judgeSheet(t, h, example(t))
	if a.Signed != "" || a.Signature.Signed || !strings.Contains(a.Signature.Text, "Unsigned") || len(a.Signature.Digest) != 64 {
		t.Errorf("%+v", a.Signature)
	}
	if page := asked(t, h, example(t), "text/html"); !strings.Contains(page, "Unsigned") {
		t.Error("the report does not say that it is unsigned")
	}
	if w := do(h, "GET", "/.well-known/jwks.json"); w.Code != 200 || w.Body.String() != `{"keys":[]}` {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if v := verify(t, h, a.Signature.Digest, ""); v.Valid {
		t.Errorf("%+v", v)
	}
}

func TestPublicKeys(t *testing.T) {
	t.Parallel()
	h := signing(t, "retired.pem")
	var set struct{ Keys []map[string]string }
	fetch(t, h, "/.well-known/jwks.json", &set)
	if len(set.Keys) != 2 {
		t.Fatalf("%+v", set)
	}
	for _, k := range set.Keys {
		if k["kty"] != "OKP" || k["crv"] != "Ed25519" || k["alg"] != "EdDSA" || k["use"] != "sig" || k["kid"] == "" || k["d"] != "" {
			t.Errorf("%+v", k)
		}
	}
	if w := do(h, "GET", "/.well-known/jwks.json", "Accept", "application/jwk-set+json"); w.Header().Get("Content-Type") != "application/jwk-set+json" {
		t.Errorf("%+v", w.Header())
	}
	// What was signed before the key was retired is still good.
	old := judgeSheet(t, signing(t, "private.pem"), example(t))
	if v := verify(t, h, old.Signed, ""); v.Outcome != "valid" || v.KID == set.Keys[0]["kid"] {
		t.Errorf("%+v", v)
	}
}

// A limit that was tightened after signing: the sheet is what it was, and would be judged otherwise.
func TestJudgedOtherwiseToday(t *testing.T) {
	t.Parallel()
	a := judgeSheet(t, signing(t, "private.pem"), example(t))
	source, err := specdb.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	now := source.Current()
	entry, _ := now.Entry("pl-85/counter-shaft/axial-play")
	tight := *entry.Base
	tight.Band = quantity.Between(quantity.MustParse("0.05"), quantity.MustParse("0.10"))
	entry.Base = &tight
	rev, err := catalogue.New("r-later", "2026-12-01", now.Families, now.Defaults)
	if err != nil {
		t.Fatal(err)
	}
	h, err := api.New(api.Deps{Catalogue: heldRevision{rev}, Log: slog.New(slog.DiscardHandler), Version: "test", Signing: signingKeys(t, "private.pem")}, api.Config{})
	if err != nil {
		t.Fatal(err)
	}
	h = apitest.Handler(t, h)
	v := verify(t, h, a.Signed, example(t))
	if v.Outcome != "valid_judged_otherwise" || !v.Valid || v.Signed.Revision != a.Revision || v.Today.Revision != "r-later" {
		t.Errorf("%+v", v)
	}
	if len(v.Otherwise) != 1 || v.Otherwise[0].Then != "pass" || v.Otherwise[0].Today != "fail" {
		t.Errorf("%+v", v.Otherwise)
	}
}

// The blank table, filled and sent back as it is, is judged as the same sheet in JSON.
func TestBlankTableComesBackFilled(t *testing.T) {
	t.Parallel()
	h := signing(t, "private.pem")
	rows := tableOf(t, do(h, "GET", "/v1/families/pl-85/sheet?format=csv&variant=b&scope=gearbox").Body.String())
	column := func(name string) int { return slices.Index(rows[0], name) }
	fill := func(spec string, cells map[string]string) {
		for _, r := range rows[1:] {
			if r[column("spec")] == spec {
				for name, cell := range cells {
					r[column(name)] = cell
				}
			}
		}
	}
	fill("pl-85/counter-shaft/axial-play", map[string]string{"id": "1", "as_found_1": "0.62", "as_found_2": "0.64", "as_found_3": "0.62", "as_built_1": "0.21", "as_built_2": "0.22",
		"as_built_3": "0.21", "instrument": "dial", "shims_before": "left:1.00 right:1.00", "shims_after": "left:1.20 right:1.20", "renewed": "PL-CIR-20", "by": "bench 3",
		"at": "2026-11-20", "tool": "dial 4", "calibration_due": "2027-03-01", "claim_number": "C-1044", "customer_reference": "north shed, engine 2", "engine_number": "PLC 7001", "hours": "412.5"})
	fill("pl-85/counter-shaft/key-bolt", map[string]string{"id": "2", "unit": "N.m", "as_built_1": "24", "how_built": "estimated", "condition": "thread_lock", "renewed": "PL-KEY-08",
		"by": "bench 3", "at": "2026-11-20", "witness": "foreman", "waiver_who": "foreman", "waiver_reason": "no room for a torque wrench", "note": "new thread lock"})
	w := postTable(h, "/v1/sheets?format=json", csvOf(t, rows))
	if w.Code != 200 {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	var a sheetAnswer
	if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil {
		t.Fatal(err)
	}
	b := judgeSheet(t, h, example(t))
	if diff := cmp.Diff(b, a); diff != "" {
		t.Error(diff)
	}
}

func TestTableFaults(t *testing.T) {
	t.Parallel()
	h := signing(t, "private.pem")
	for _, row := range []struct {
		name, body string
		status     int
		has        string
	}{
		{"unknown column", "id,colour\n", 400, "unknown_column"},
		{"column twice", "id,id\n", 400, "duplicate_column"},
		{"nothing", "", 400, "bad_csv"},
		{"open quote", "id,spec\n\"1,x\n", 400, "bad_csv"},
		{"no UTF-8", "id,spec\n\xff,x\n", 400, "bad_text"},
		{"two engines", "spec,engine_number,note\npl-85/flywheel/air-gap,PLC 7001,x\npl-85/head/head-nuts,PLC 7002,x\n", 422, "differs_between_rows"},
		{"hours in words", "spec,hours,note\npl-85/flywheel/air-gap,many,x\n", 422, "not_a_number"},
		{"too many lines", "spec,note\n" + strings.Repeat("x,y\n", 1001), 422, "too_many"},
		{"a cell too many", "spec,note\npl-85/flywheel/air-gap,x,y\n", 200, "too_many_cells"},
		{"a bad reading is its row's", "spec,unit,as_built_2\npl-85/flywheel/air-gap,mm,\"0,3\"\n", 200, `"row":1,"column":"as_built_2"`},
		{"a bad word is its row's", "spec,retorqued\npl-85/flywheel/air-gap,perhaps\n", 200, `"column":"retorqued"`},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			if w := postTable(h, "/v1/sheets?format=json", row.body); w.Code != row.status || !strings.Contains(w.Body.String(), row.has) {
				t.Errorf("%d %s", w.Code, w.Body)
			}
		})
	}
	comma := "spec;unit;as_built_1;as_built_2\npl-85/flywheel/air-gap;mm;0,30;0,32\n"
	if w := postTable(h, "/v1/sheets?format=json&delimiter=semicolon&decimal=comma", comma); w.Code != 200 || !strings.Contains(w.Body.String(), `"value":0.31`) {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}

func postTable(h http.Handler, target, body string) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", target, strings.NewReader(body))
	r.Header.Set("Content-Type", "text/csv")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func tableOf(t *testing.T, text string) [][]string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

func csvOf(t *testing.T, rows [][]string) string {
	t.Helper()
	var b strings.Builder
	if err := csv.NewWriter(&b).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	return b.String()
}
