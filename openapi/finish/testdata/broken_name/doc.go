// Package broken is refused: a schema is named like the Response of an operation.
//
//	@title		broken
//	@version	1
//	@BasePath	/
//
//	@tag.name			things
//	@tag.description	What there is.
package broken

// Problem is what is wrong.
type Problem struct {
	Status int `json:"status" example:"400"`
} //@name Problem

// Answer takes the name that clients give to the operation.
type Answer struct {
	Size int `json:"size" example:"1"`
} //@name GetOneResponse

// Get answers.
//
//	@Summary		One
//	@Description	One.
//	@ID				getOne
//	@Tags			things
//	@Success		200	{object}	Answer
//	@Failure		400	{object}	Problem
//	@Router			/one [get]
func Get() {}
