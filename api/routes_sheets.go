package api

import (
	"endfloat/api/rim"
	"endfloat/api/sheets"
)

// Forms of sheets, and of the keys behind them.
var (
	forPaper = []string{rim.MediaJSON, rim.MediaCSV, rim.MediaHTML}
	asKeys   = []string{rim.MediaJSON, rim.MediaKeys}
)

func sheetRoutes(desk sheets.Handlers) []rim.Route {
	filled := ask("/v1/sheets", rim.Sheet, 10, desk.Judge)
	filled.Media, filled.Reads, filled.Query = forPaper, orTable, params(replay, form, []string{"paper"})
	return []rim.Route{
		get("/v1/families/:family/sheet", forPaper, params(replay, engine, form, []string{"scope", "unit_system", "paper"}), desk.Blank),
		filled,
		ask("/v1/sheets/verify", rim.Sheet, 10, desk.Verify),
		static("/.well-known/jwks.json", asKeys, nil, desk.Keys),
	}
}
