// Package broken is refused: a map is keyed by data.
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

// Answer is keyed by data.
type Answer struct {
	Items map[string]Problem `json:"items"`
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
