package shimming

import (
	"slices"
	"strings"

	"endfloat/api/judging"
	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

// Plan answers POST /v1/shim-plans.
//
//	@Summary		What to fit
//	@Description	Plans shims for sets of the catalogue or of the caller: exactly one of shims and caller_shims. Every option brings all specs into their bands; options rank by whether they meet the demand, then by the objective: closest (the default for one measured spec) or fewest_new (for several). fit_now lists what needs no buying, to_order everything; no_change is shown by itself. A spec that cannot be measured, or whose fitted thickness is not known, stands in refused_points and its places keep what they have. min_probability from 0 to 1 is what every spec must reach; without it 0.977 with guard U, 0.95 with 1.65u and 0.5 under the simple rule. A tolerance is an object of two ends, or a number for ±. In fitted, pieces left out means that nobody knows the thickness and [] that nothing is fitted. offset_now left out counts as 0, with a warning where the set has an offset. The work is bounded by nodes: where they run out, proven is false.
//	@ID				planShims
//	@Tags			shims
//	@Accept			json
//	@Produce		json
//	@Param			body		body		PlanRequest	true	"what was measured, what is fitted, what is on hand"
//	@Param			lang		query		string		false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string		false	"form of the answer"	Enums(json)
//	@Param			revision	query		string		false	"a catalogue revision that is still held"
//	@Success		200			{object}	PlanAnswer
//	@Router			/v1/shim-plans [post]
func (h Handlers) Plan(r *rim.Request) (rim.Reply, error) {
	var req PlanRequest
	if err := r.Decode(&req); err != nil {
		return rim.Reply{}, err
	}
	read, in, err := h.toPlan(&req, r)
	if err != nil {
		return rim.Reply{}, err
	}
	plan, err := shim.New(r.Context(), in)
	if err != nil {
		return rim.Reply{}, err
	}
	s := shower{h: h, lang: r.Lang, in: in, rev: r.Revision, several: len(in.Sets) > 1}
	a := s.fromPlan(plan)
	a.Revision, a.RevisionDate, a.Rules, a.Policy = r.Revision.Name, r.Revision.Date, spec.Rules, read.bench.Policy()
	a.Now = ordered(read.now)
	a.Cautions = read.cautions(plan)
	reply := rim.JSON(a)
	reply.Effort = &rim.Effort{Nodes: plan.Used, Options: len(plan.ToOrder), Proven: plan.Proven}
	return reply, nil
}

// ordered puts verdicts in the order of their specs, so that an answer does not depend on the order of input.
func ordered(now []judging.Result) []judging.Result {
	slices.SortStableFunc(now, func(a, b judging.Result) int { return strings.Compare(a.Spec, b.Spec) })
	for i := range now {
		now[i].Index = i
	}
	return append([]judging.Result{}, now...)
}

// cautions resolves what travels with the sets beside what their specs bring.
func (r *reader) cautions(plan *shim.Plan) []wire.Caution {
	d := r.rev.Defaults
	for _, s := range r.sets {
		r.bench.Caution(d.CautionsOf(&spec.Spec{Cautions: s.Cautions, Source: s.Source})...)
	}
	for _, n := range plan.Next {
		if n.Code == "renew_circlip" {
			r.bench.Caution(circlipCaution)
		}
	}
	r.bench.Caution(catalogue.VerifyMaker)
	return r.bench.Cautions()
}

// circlipCaution goes with every step that takes a circlip out.
const circlipCaution = "circlip_eye_protection"
