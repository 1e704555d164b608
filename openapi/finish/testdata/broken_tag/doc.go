// Package broken is refused: an operation stands under a tag that is not described.
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

// Answer is one.
type Answer struct {
	Size int `json:"size" example:"1"`
} //@name Answer

// Get answers.
//
//	@Summary		One
//	@Description	One.
//	@Tags			others
//	@ID				getOne
//	@Success		200	{object}	Answer
//	@Failure		400	{object}	Problem
//	@Router			/one [get]
func Get() {}
