// Package broken is refused: an example does not fit its schema.
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

// Answer has an example that does not fit.
type Answer struct {
	Word string `json:"word" enums:"red,green" example:"blue"`
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
