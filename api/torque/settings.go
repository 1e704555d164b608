package torque

import (
	"strings"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/spec"
	"endfloat/service/torque"
)

// Set answers POST /v1/torque-settings.
//
//	@Summary		What to set on the wrench
//	@Description	The setting that gives a wanted torque through an extension: set = wanted · L / (L + E · cos a), exactly, with cos a exact at 0, 60, 90, 120 and 180°. set is the nearest multiple of the step whose result with the tool's accuracy lies in the band, the lower of a tie; where there is none the nearest, with a warning. A running torque is added to what is wanted before the extension; where the source is silent about it both settings are given. Of several wrenches the best is told and why. A castle nut is set to its lower figure, and castle says whether it may advance. Where nothing is published, or the fastener is out of scope, outcome says so and there is no number. Exactly one of spec, caller_spec and wanted; at most one of wrench and wrenches.
//	@ID				setTorque
//	@Tags			torque
//	@Accept			json
//	@Produce		json
//	@Param			body		body		SettingsRequest	true	"what is wanted, and with which wrench"
//	@Param			lang		query		string			false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string			false	"form of the answer"	Enums(json)
//	@Param			revision	query		string			false	"a catalogue revision that is still held"
//	@Success		200			{object}	SettingsAnswer
//	@Router			/v1/torque-settings [post]
func (h Handlers) Set(r *rim.Request) (rim.Reply, error) {
	var req SettingsRequest
	if err := r.Decode(&req); err != nil {
		return rim.Reply{}, err
	}
	q, err := h.toAsked(&req, r.Revision)
	if err != nil {
		return rim.Reply{}, err
	}
	a := &SettingsAnswer{Revision: r.Revision.Name, RevisionDate: r.Revision.Date, Rules: spec.Rules, Spec: q.key, Outcome: "set",
		Hand: string(spec.Right), Warnings: []wire.Note{}, Next: []wire.Note{}}
	if q.wanted.LeftHand || q.spec != nil && q.spec.LeftHand() {
		a.Hand = string(spec.Left)
	}
	switch {
	case q.variant:
		a.Outcome = "variant"
		a.Next = append(a.Next, wire.FromNotes(append(q.open, note.New("name_the_variant")), r.Lang, h.book)...)
	case q.reason != "":
		a.Outcome = q.reason
	default:
		if err := h.fromSetting(q, a, r.Lang); err != nil {
			return rim.Reply{}, err
		}
	}
	h.close(q, a, r)
	return rim.JSON(a), nil
}

// fromSetting fills in the numbers.
func (h Handlers) fromSetting(q *asked, a *SettingsAnswer, lang string) error {
	use := q.use
	silent := q.hasRun && (q.wanted.Prevailing == "" || q.wanted.Prevailing == torque.Unstated)
	if q.hasRun && q.wanted.Prevailing == torque.Extra {
		use.Running, use.HasRunning = q.running, true
	}
	list, best := torque.Choose(q.wanted, q.tools, use)
	if best < 0 {
		var bad fault.List
		bad.Add(wire.At("/extension").Key("length").Fault("extension_too_long", "the setting would be more than any wrench has",
			"send an extension that is shorter than the lever, or another angle"))
		return bad.Err()
	}
	s := list[best]
	a.Wanted = fromWanted(q.wanted)
	a.Exact, a.Set, a.Gives = exact(s.Exact, s.Unit), fromSet(s), fromGives(s, q.wanted, use)
	a.Display = h.shown(s, q.wanted, q.tools[best], lang)
	a.InBand, a.GoodEnough = s.InBand, s.Good
	a.Ratio, a.Guard, a.Accuracy = fromRatio(s), fromGuard(s, q.wanted.Unit), q.accuracyOf(best)
	a.Method = h.method(q, best, use, lang)
	a.Warnings = append(a.Warnings, wire.FromNotes(append(q.wanted.Doubts(q.hasRun), s.Warnings...), lang, h.book)...)
	if silent {
		with := q.use
		with.Running, with.HasRunning = q.running, true
		if t, ok := torque.Set(q.wanted, q.tools[best], with); ok {
			a.ExactWithRunning, a.SetWithRunning, a.GivesWithRunning = exact(t.Exact, t.Unit), fromSet(t), fromGives(t, q.wanted, with)
			a.Display.SetWithRunning = h.shown(t, q.wanted, q.tools[best], lang).Set
		}
	}
	if q.several {
		for i, one := range list {
			if one.Unit == "" { // the setting would be more than any wrench has
				one.Unit = q.tools[i].Unit
			}
			a.Wrenches = append(a.Wrenches, WrenchAnswer{ID: q.tools[i].ID, Index: i, GoodEnough: one.Good, InBand: one.InBand,
				Exact: exact(one.Exact, one.Unit), Set: fromSet(one), Gives: fromGives(one, q.wanted, use), Text: h.sentence(h.shown(one, q.wanted, q.tools[i], lang), lang), Ratio: fromRatio(one),
				Guard: fromGuard(one, q.wanted.Unit), Accuracy: q.accuracyOf(i), Why: wire.FromNotes(one.Why(), lang, h.book)})
		}
		a.Best = q.tools[best].ID
	}
	if q.spec != nil {
		h.stages(q, a, best, use, lang)
		a.Next = append(a.Next, wire.FromNotes(append(q.open, torque.Advice(q.spec)...), lang, h.book)...)
	}
	if q.hasCast {
		h.advance(q, s, a, lang)
	}
	return nil
}

// stages adds every stage with a figure, set with the same wrench.
func (h Handlers) stages(q *asked, a *SettingsAnswer, best int, use torque.Use, lang string) {
	if q.spec.ValueForm != spec.Stages {
		return
	}
	for _, w := range torque.Stages(q.spec) {
		s, ok := torque.Set(w, q.tools[best], use)
		if !ok {
			continue
		}
		a.Stages = append(a.Stages, StageAnswer{Stage: w.Stage, Pattern: w.Pattern, Wanted: fromWanted(w), Exact: exact(s.Exact, s.Unit),
			Set: fromSet(s), Gives: fromGives(s, w, use), Text: h.sentence(h.shown(s, w, q.tools[best], lang), lang), Angle: wire.DecIf(w.Angle, w.HasAngle), Warnings: wire.FromNotes(s.Warnings, lang, h.book)})
	}
}

// close adds source, cautions and the line that says it all.
func (h Handlers) close(q *asked, a *SettingsAnswer, r *rim.Request) {
	d := r.Revision.Defaults
	codes := []string{catalogue.NotForBrakes, catalogue.VerifyMaker}
	a.Source = wire.Source{Class: "caller"}
	if q.spec != nil {
		codes = d.CautionsOf(q.spec)
		a.Source = wire.FromSource(q.spec.Source)
	}
	if a.Hand == string(spec.Left) {
		codes = append(codes, catalogue.LeftHandThread)
	}
	a.Cautions = wire.Resolved(codes, r.Lang, h.book, d)
	a.Text = h.line(q, a, r.Lang)
}

// line is the answer in one line, the left-hand thread before any number.
func (h Handlers) line(q *asked, a *SettingsAnswer, lang string) string {
	var parts []string
	add := func(code string, params ...note.Param) { parts = append(parts, h.say(lang, code, params...)) }
	switch a.Outcome {
	case "set":
		parts = append(parts, h.sentence(a.Display, lang))
		if a.Display.SetWithRunning != "" {
			add("word_with_running", note.Str("value", a.Display.SetWithRunning))
		}
		if q.spec == nil {
			add("word_wanted", note.Str("value", a.Display.Wanted))
			if a.Display.Band != "" {
				parts[len(parts)-1] += ", " + a.Display.Band
			}
		}
	case torque.AngleAlone:
		add("word_angle_alone")
	default:
		add("because_" + a.Outcome)
	}
	text := strings.Join(parts, "; ")
	if q.spec != nil && !q.variant {
		return h.beside(q.spec, text, lang)
	}
	if a.Hand == string(spec.Left) {
		return h.say(lang, "word_left_hand") + ": " + text
	}
	return text
}

// beside puts the setting into the line of its spec, after the words about a left-hand thread.
func (h Handlers) beside(s *spec.Spec, text, lang string) string {
	summary := h.book.Display(lang, s).Summary
	if !s.LeftHand() {
		return text + "; " + summary
	}
	hand := h.say(lang, "word_left_hand") + ": "
	return hand + text + "; " + strings.TrimPrefix(summary, hand)
}
