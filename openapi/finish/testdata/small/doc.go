// Package small is a service as small as one can be, for the tests of the generator.
//
//	@title			small
//	@version		1
//	@description	Things and their sizes.
//	@license.name	MIT
//	@BasePath		/
//
//	@tag.name			things
//	@tag.description	What there is.
package small

// Thing is one thing with its size.
type Thing struct {
	Key   string    `json:"key" example:"a"`
	Size  float64   `json:"size,omitzero" example:"0.10"`
	Sizes []float64 `json:"sizes,omitzero" example:"0.10,0.250"`
	Count int       `json:"count" extensions:"x-format=int32" example:"3"`
	Part  Part      `json:"part,omitzero"`
} //@name Thing

// Part is a part
// of a thing.
type Part struct {
	SKU string `json:"sku" extensions:"x-pattern=^[A-Z]+$" example:"ABC"`
} //@name Part

// ThingRequest is what is asked.
type ThingRequest struct {
	Key  string `json:"key" validate:"required" example:"a"`
	Size Shared `json:"size,omitzero"`
	List []Part `json:"list,omitzero" validate:"min=1,max=5000"`
} //@name ThingRequest

// Shared is sent alone.
type Shared struct {
	Value float64 `json:"value" example:"1.50"`
} //@name Shared

// Problem is what is wrong.
type Problem struct {
	Status int `json:"status" example:"400"`
} //@name Problem

// Get answers GET /things/{key}.
//
//	@Summary		One thing
//	@Description	A thing by its key.
//	@ID				getThing
//	@Tags			things
//	@Produce		json,text/csv
//	@Param			key			path		string	true	"its key"
//	@Param			revision	query		string	false	"a revision"
//	@Param			lang		query		string	false	"a language"	Enums(en, de)
//	@Success		200			{object}	Thing
//	@Failure		503			{object}	Problem
//	@Router			/things/{key} [get]
func Get() {}

// Post answers POST /things.
//
//	@Summary		Ask for a thing
//	@Description	A thing by what is said of it.
//	@ID				askThing
//	@Tags			things
//	@Accept			json,text/csv
//	@Produce		json
//	@Param			body	body		ThingRequest	true	"what is asked"
//	@Success		200		{object}	Thing
//	@x-body-bytes	5000
//	@Router			/things [post]
func Post() {}
