package face

import (
	_ "endfloat/api/problem" // the annotations name it
	"endfloat/api/rim"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// Live says that the process answers.
type Live struct {
	Status  string `json:"status" enums:"up" example:"up"`
	Version string `json:"version" example:"1.0.0"`
} //@name Live

// Ready says what is loaded.
type Ready struct {
	Status       string   `json:"status" enums:"ready" example:"ready"`
	Revision     string   `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string   `json:"revision_date" example:"2026-11-01"`
	Rules        string   `json:"rules" example:"1"`
	Held         []string `json:"held" example:"r-5f1c2a9e0b7d"`
	Families     int      `json:"families" example:"3"`
	Specs        int      `json:"specs" example:"135"`
	Warnings     []string `json:"warnings"`
} //@name Ready

// Live answers GET /livez.
//
//	@Summary		Is the process up
//	@Description	Answers as long as the process does; says nothing about the catalogue.
//	@ID				getLive
//	@Tags			service
//	@Produce		json
//	@Success		200	{object}	Live
//	@Router			/livez [get]
func (h Handlers) Live(*rim.Request) (rim.Reply, error) {
	return rim.JSON(Live{"up", h.settings.Version}), nil
}

// Ready answers GET /readyz.
//
//	@Summary		Is a catalogue loaded
//	@Description	The revision in use and what there is in it; 503 while the service is about to stop.
//	@ID				getReady
//	@Tags			service
//	@Produce		json
//	@Success		200	{object}	Ready
//	@Failure		503	{object}	problem.Document
//	@Router			/readyz [get]
func (h Handlers) Ready(r *rim.Request) (rim.Reply, error) {
	if h.settings.Draining != nil && h.settings.Draining() {
		return rim.Reply{}, &fault.Error{Kind: fault.Unavailable, Code: "draining", Detail: note.New("found_process_about_stop"), RetryAfter: 5}
	}
	rev, warnings := r.Revision, []string{}
	if h.settings.Warnings != nil {
		warnings = h.settings.Warnings()
	}
	return rim.JSON(Ready{Status: "ready", Revision: rev.Name, RevisionDate: rev.Date, Rules: spec.Rules, Held: h.source.Held(),
		Families: len(rev.Families), Specs: len(rev.SpecKeys()), Warnings: warnings}), nil
}
