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
	x := &answering{h: h, q: q, lang: r.Lang, to: a}
	switch {
	case q.variant:
		a.Outcome = "variant"
		a.Next = append(a.Next, x.notes(append(q.open, note.New("name_the_variant"))...)...)
	case q.reason != "":
		a.Outcome = q.reason
	default:
		if err := x.setting(); err != nil {
			return rim.Reply{}, err
		}
	}
	x.close(r.Revision.Defaults)
	return rim.JSON(a), nil
}

// answering writes the answer to one question about a setting.
type answering struct {
	h    Handlers
	q    *asked
	lang string
	to   *SettingsAnswer
	says []string // about the setting, in words
}

func (x *answering) say(code string, params ...note.Param) string {
	return x.h.say(x.lang, code, params...)
}

func (x *answering) notes(list ...note.Note) []wire.Note {
	return wire.FromNotes(list, x.lang, x.h.book)
}

// setting fills in the numbers. Error: there is none that a wrench has.
func (x *answering) setting() error {
	q, to := x.q, x.to
	use, with, both := torque.Use{Extension: q.extension}, torque.Use{}, false
	if q.hasRunning {
		use, with, both = q.wanted.Uses(q.extension, q.running)
	}
	list, best := torque.Choose(q.wanted, q.tools, use)
	if best < 0 {
		var bad fault.List
		bad.Add(wire.At("/extension").Key("length").Fault("extension_too_long", note.New("found_setting_would_more"),
			note.New("fix_send_extension_shorter_than_lever")))
		return bad.Err()
	}
	s, tool := list[best], q.tools[best]
	to.Wanted = fromWanted(q.wanted)
	to.Exact, to.Set, to.Gives = exact(s.Exact, s.Unit), fromSet(s), fromGives(s, q.wanted, use)
	to.Display = x.shown(s, q.wanted, tool)
	x.says = append(x.says, x.warned(s, x.sentence(to.Display)))
	to.InBand, to.GoodEnough = s.InBand, s.Good
	to.Ratio, to.Guard, to.Accuracy = fromRatio(s), fromGuard(s, q.wanted.Unit), q.accuracyOf(best)
	to.Method = x.method(tool, use)
	to.Warnings = append(to.Warnings, x.notes(append(q.wanted.Doubts(q.hasRunning), s.Warnings...)...)...)
	if both {
		x.withRunning(tool, with)
	}
	if q.several {
		x.wrenches(list, use)
		to.Best = tool.ID
	}
	if q.spec != nil {
		x.stages(tool, use)
		to.Next = append(to.Next, x.notes(append(q.open, torque.Advice(q.spec)...)...)...)
	}
	if q.hasCastle {
		x.advance(s)
	}
	return nil
}

// withRunning adds what to set where the running torque is not in what is wanted.
func (x *answering) withRunning(tool torque.Wrench, use torque.Use) {
	s, ok := torque.Set(x.q.wanted, tool, use)
	if !ok {
		return
	}
	x.to.ExactWithRunning, x.to.SetWithRunning, x.to.GivesWithRunning = exact(s.Exact, s.Unit), fromSet(s), fromGives(s, x.q.wanted, use)
	x.to.Display.SetWithRunning = x.shown(s, x.q.wanted, tool).Set
	x.says = append(x.says, x.warned(s, x.say("word_with_running", note.Str("value", x.to.Display.SetWithRunning))))
}

// wrenches adds what each of several wrenches offers.
func (x *answering) wrenches(list []torque.Setting, use torque.Use) {
	w := x.q.wanted
	for i, s := range list {
		tool := x.q.tools[i]
		if s.Unit == "" { // the setting would be more than any wrench has
			s.Unit = tool.Unit
		}
		x.to.Wrenches = append(x.to.Wrenches, WrenchAnswer{ID: tool.ID, Index: i, GoodEnough: s.Good, InBand: s.InBand, Exact: exact(s.Exact, s.Unit),
			Set: fromSet(s), Gives: fromGives(s, w, use), Text: x.text(s, w, tool), Ratio: fromRatio(s), Guard: fromGuard(s, w.Unit),
			Accuracy: x.q.accuracyOf(i), Why: x.notes(s.Why()...)})
	}
}

// stages adds every stage with a figure, set with the same wrench.
func (x *answering) stages(tool torque.Wrench, use torque.Use) {
	if x.q.spec.ValueForm != spec.Stages {
		return
	}
	for _, w := range torque.Stages(x.q.spec) {
		s, ok := torque.Set(w, tool, use)
		if !ok {
			continue
		}
		x.to.Stages = append(x.to.Stages, StageAnswer{Stage: w.Stage, Pattern: w.Pattern, Wanted: fromWanted(w), Exact: exact(s.Exact, s.Unit),
			Set: fromSet(s), Gives: fromGives(s, w, use), Text: x.text(s, w, tool), Angle: wire.DecIf(w.Angle, w.HasAngle),
			Warnings: x.notes(s.Warnings...)})
	}
}

// close adds source, cautions and the line that says it all.
func (x *answering) close(d catalogue.Defaults) {
	q, to := x.q, x.to
	codes := []string{catalogue.NotForBrakes, catalogue.VerifyMaker}
	to.Source = wire.Source{Class: "caller"}
	if q.spec != nil {
		codes = d.CautionsOf(q.spec)
		to.Source = wire.FromSource(q.spec.Source)
	}
	if to.Hand == string(spec.Left) {
		codes = append(codes, catalogue.LeftHandThread)
	}
	to.Cautions = wire.Resolved(codes, x.lang, x.h.book, d)
	to.Text = x.line()
}

// line is the answer in one line, the left-hand thread before any number.
func (x *answering) line() string {
	q, a := x.q, x.to
	var parts []string
	add := func(code string, params ...note.Param) { parts = append(parts, x.say(code, params...)) }
	switch a.Outcome {
	case "set":
		parts = append(parts, x.says...)
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
	text := x.h.book.Joined(x.lang, parts...)
	if q.spec != nil && !q.variant {
		return x.beside(text)
	}
	if a.Hand == string(spec.Left) {
		return x.say("word_left_hand") + x.say("word_colon") + text
	}
	return text
}

// beside puts the setting into the line of its spec, after the words about a left-hand thread.
func (x *answering) beside(text string) string {
	summary := x.h.book.Display(x.lang, x.q.spec).Summary
	if !x.q.spec.LeftHand() {
		return x.h.book.Joined(x.lang, text, summary)
	}
	hand := x.say("word_left_hand") + x.say("word_colon")
	return hand + x.h.book.Joined(x.lang, text, strings.TrimPrefix(summary, hand))
}
