// Package broken is refused: a fault is no problem.
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

// Answer is also the fault.
type Answer struct {
	Size int `json:"size" example:"1"`
} //@name Answer

// Get answers.
//
//	@Summary		One
//	@Description	One.
//	@ID				getOne
//	@Tags			things
//	@Success		200	{object}	Answer
//	@Failure		400	{object}	Answer
//	@Router			/one [get]
func Get() {}
