package api

import (
	"net/http"

	"endfloat/api/judging"
	"endfloat/api/rim"
)

// Most bytes of a batch of checks.
const batchBody = 8 << 20

// form are the query parameters that say how a table is written.
var form = []string{"delimiter", "decimal"}

// ask is a question with a JSON body whose answer is computed.
func ask(path string, class rim.Class, cost int, h rim.Handler) rim.Route {
	return rim.Route{Method: http.MethodPost, Path: path, Class: class, Cost: cost, Media: asJSON, Reads: asJSON, Body: smallBody, Query: replay, Lang: true, Handle: h}
}

func judgingRoutes(bench judging.Handlers) []rim.Route {
	evaluations := ask("/v1/evaluations", rim.Judge, 5, bench.Evaluate)
	evaluations.Body, evaluations.Query = batchBody, params(replay, form)
	evaluations.Media, evaluations.Reads = orTable, orTable
	const one = "/v1/families/:family/components/:component/specs/:spec"
	return []rim.Route{
		get("/v1/instruments", asJSON, replay, bench.Instruments),
		brief(get(one+"/verdict", orText, params(replay, engine, judging.QueryWords()), bench.Verdict)),
		get(one+"/measuring-plan", asJSON, params(replay, engine, []string{"stage", "part", "guard", "instrument", "standard_uncertainty"}), bench.Plan),
		get(one+"/band.svg", []string{rim.MediaSVG}, params(replay, engine, judging.QueryWords()), bench.Picture),
		evaluations,
		ask("/v1/closures", rim.Judge, 2, bench.Close),
	}
}
