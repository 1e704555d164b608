// Package broken is refused: an object may be null.
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

// Answer has a part that may be null.
type Answer struct {
	Part Problem `json:"part" extensions:"x-nullable"`
} //@name Answer

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
