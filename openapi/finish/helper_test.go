package finish_test

import (
	"maps"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
)

// statuses are the statuses of an operation in order.
func statuses(op *openapi3.Operation) string {
	return strings.Join(slices.Sorted(maps.Keys(op.Responses.Map())), " ")
}

// media are the media types of an answer in order.
func media(content openapi3.Content) string {
	return strings.Join(slices.Sorted(maps.Keys(content)), " ")
}
