package torque

import (
	"math"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
	"endfloat/service/torque"
)

// Estimate answers POST /v1/torque-estimates.
//
//	@Summary		A generic torque for a standard bolt
//	@Description	What nobody published, reckoned from thread, class and friction, with all that it rests on: metric threads from M3 to M24, coarse and fine, and UNC and UNF up to 1 in; classes of ISO 898-1, stainless steel by ISO 3506-1 and grades of SAE J429. utilisation is 0.9 unless given, head a hexagon, tightening a torque_wrench. With engaged_in it says which thread strips first, with stiffness what a degree of turning adds, with equal_clamp which torque would clamp as hard with another friction, as information only. A generic figure is refused, with the reason, for stretch bolts, rod bolts, tapers, left-hand special nuts, threads in light alloy of unknown depth, everything on which lives depend, and where a figure is published for the spec that is named. Values carry four significant digits.
//	@ID				estimateTorque
//	@Tags			torque
//	@Accept			json
//	@Produce		json
//	@Param			body		body		EstimateRequest	true	"the joint"
//	@Param			lang		query		string			false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string			false	"form of the answer"	Enums(json)
//	@Param			revision	query		string			false	"a catalogue revision that is still held"
//	@Success		200			{object}	EstimateAnswer
//	@Router			/v1/torque-estimates [post]
func (h Handlers) Estimate(r *rim.Request) (rim.Reply, error) {
	var req EstimateRequest
	if err := r.Decode(&req); err != nil {
		return rim.Reply{}, err
	}
	g, err := h.toGuess(&req, r.Revision)
	if err != nil {
		return rim.Reply{}, err
	}
	a := &EstimateAnswer{Revision: r.Revision.Name, RevisionDate: r.Revision.Date, Rules: spec.Rules, Spec: g.key, Outcome: "estimated",
		Source: wire.Source{Class: "generic"}, Assumptions: []wire.Note{}, Warnings: []wire.Note{}}
	codes := []string{catalogue.NotForBrakes, catalogue.VerifyMaker}
	if g.reason != "" {
		a.Outcome, a.Reason = "refused", g.reason
		a.Text = h.refusal(g, r.Lang)
		if g.spec != nil {
			codes = append(codes, r.Revision.Defaults.CautionsOf(g.spec)...)
		}
		if g.reason == torque.RefusedLeftHand {
			codes = append(codes, catalogue.LeftHandThread)
		}
	} else {
		h.fromGuess(g, a, r.Lang)
	}
	a.Cautions = wire.Resolved(codes, r.Lang, h.book, r.Revision.Defaults)
	return rim.JSON(a), nil
}

// refusal says why there is no number, the left-hand thread first.
func (h Handlers) refusal(g *guess, lang string) string {
	why := h.say(lang, g.reason)
	if g.reason == torque.OutOfScope {
		why = h.say(lang, "because_out_of_scope")
	}
	text := h.say(lang, "word_estimate_none") + h.say(lang, "word_colon") + clause(why)
	if g.reason == torque.RefusedLeftHand || g.spec != nil && g.spec.LeftHand() {
		return h.say(lang, "word_left_hand") + h.say(lang, "word_colon") + text
	}
	return text
}

// significant is how many digits an estimate is shown with: one more than it deserves, zeros kept.
const significant = 4

// digits rounds an estimate to a number of significant digits.
func digits(f float64, n int) quantity.Decimal {
	if f == 0 || math.IsNaN(f) || math.IsInf(f, 0) {
		return quantity.Decimal{}
	}
	places := n - 1 - int(math.Floor(math.Log10(math.Abs(f))))
	d, _ := quantity.FromFloat(f).Round(min(max(places, 0), 12), quantity.HalfEven)
	return d
}

func about(f float64) wire.Decimal { return wire.Dec(digits(f, significant)) }

func kilonewtons(n float64) Amount { return Amount{about(n / 1000), "kN"} }

// torqueIn is a torque in the unit asked for.
func (g *guess) torqueIn(nm float64) Amount {
	return Amount{about(g.inUnit(nm)), string(g.unit)}
}

func (g *guess) inUnit(nm float64) float64 {
	return nm * convert(quantity.NewDecimal(1, 0), quantity.NewtonMetre, g.unit).Float64()
}

func qty(name string, f float64, u quantity.Unit) note.Param { return note.Qty(name, digits(f, 3), u) }
