package api

import (
	"endfloat/api/rim"
	"endfloat/api/torque"
)

func torqueRoutes(bench torque.Handlers) []rim.Route {
	return []rim.Route{
		ask("/v1/torque-settings", rim.Judge, 1, bench.Set),
		ask("/v1/torque-estimates", rim.Judge, 1, bench.Estimate),
	}
}
