package api

import (
	"endfloat/api/rim"
	"endfloat/api/shimming"
)

func shimmingRoutes(plans shimming.Handlers) []rim.Route {
	return []rim.Route{ask("/v1/shim-plans", rim.Plan, 10, plans.Plan)}
}
