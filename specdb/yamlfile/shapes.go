package yamlfile

import "endfloat/service/spec"

// shapes are the shapes of all files, made once for a load.
type shapes struct {
	family, variant, run, component, spec, override, shims, shimOverride, place, effect, rung, offset, part *Shape
	limits, points, size, stage, fastener, source, text                                                     *Shape
	head, policy, instrument, caution, withdrawn                                                            *Shape
}

// FamilyShape is the shape of a family file.
func FamilyShape() *Shape { return newShapes().family }

// HeadShape is the shape of catalogue.yaml.
func HeadShape() *Shape { return newShapes().head }

func newShapes() *shapes {
	s := &shapes{}
	s.text = &Shape{Name: "text"}
	for i, l := range spec.Languages {
		f := text(l, "")
		f.Need = i == 0
		s.text.Fields = append(s.text.Fields, f)
	}
	s.limits = &Shape{"limits", []Field{number("lower", "least value that is still inside"), number("upper", "greatest value that is still inside")}}
	s.source = &Shape{"source", []Field{
		word("class", "what kind of source it is", "maker", "bulletin", "standard", "shop_measured", "generic", "demo").need(),
		text("title", "title of the publication").need(),
		text("locator", "page, table or sheet"),
		date("reviewed", "when somebody last held the value against the source").need(),
		date("review_by", "after this day the review is overdue"),
		whole("engines", 1, 1_000_000, "how many engines a shop_measured value stands on")}}
	s.makeSpec()
	s.makeShims()
	s.makeFamily()
	s.makeHead()
	return s
}

func (s *shapes) makeSpec() {
	rule := func(key, about string) Field { return word(key, about, "mean", "min", "max", "range") }
	s.points = &Shape{"points", []Field{
		whole("minimum", 1, 100, "fewest places that are measured"),
		rule("combine", "how the places become one value; mean unless stated"),
		rule("against_lower", "what is held against the lower limit"),
		rule("against_upper", "what is held against the upper limit"),
		number("max_spread", "more between the places is warned about; a third of the band unless stated"),
		names("places", "where to measure, in words")}}
	s.size = &Shape{"size", []Field{
		text("part", "which part is measured").need(),
		whole("sign", -1, 1, "1 adds its size, -1 takes it away").need(),
		number("expansion_per_k", "coefficient of linear expansion per kelvin")}}
	s.stage = &Shape{"stage", []Field{number("value", "torque of the stage"), number("angle", "turn in degrees"), text("pattern", "order of the fasteners, such as crosswise")}}
	s.fastener = &Shape{"fastener", fastenerFields()}
	s.spec = &Shape{"spec", []Field{
		slug("id", "name within the component; the key is family/component/id").need(),
		word("kind", "what is limited", "dimension", "torque", "angle", "other", "category").need(),
		names("name", "name in plain words").need(),
		{Key: "unit", Type: Unit, About: "unit of every figure of the spec, as published"},
		whole("decimals", 0, 9, "digits that are shown; those of the finest limit unless stated"),
		word("value_form", "how a torque was published; range unless stated", "range", "single", "stages", "torque_angle", "not_published", "out_of_scope"),
		mappingOf("band", s.limits, "what a new part has"),
		number("target", "what to aim at; a single torque stands here"),
		word("target_policy", "from which side the aim may be missed", "nearest", "not_below", "not_above"),
		number("policy_percent", "tolerance of a single torque by policy, in percent"),
		mappingOf("stages", s.stage, "steps of the tightening").list(),
		number("angle", "turn of a torque with angle, in degrees"),
		number("angle_tolerance", "tolerance of the turn, in degrees"),
		mappingOf("wear_limit", s.limits, "how far a used part may have worn"),
		mappingOf("plausible", s.limits, "a reading outside this is a slip"),
		word("remedy", "what is done about a part outside", "adjust", "machine", "replace"),
		yesNo("critical", "nothing is closed over it undecided"),
		yesNo("form", "zero is perfect and one reading cannot show it: runout, flatness, ovality"),
		text("after", "specs of the family, component/spec, that are proven before this one").list(),
		yesNo("waiver", "an estimate may stand on a sheet with a named waiver and a witness"),
		mappingOf("points", s.points, "where and how often to measure"),
		mappingOf("sizes", s.size, "the value is computed from these sizes").list(),
		text("allowed", "categories that pass").list(),
		text("rejected", "categories that are known and do not pass").list(),
		names("state", "condition of the parts while they are measured"),
		text("conditions", "the same as single words: cold, dry").list(),
		slug("adjusted_by", "shim set of the component that adjusts it"),
		mappingOf("fastener", s.fastener, "what is tightened"),
		Field{Key: "cautions", Type: Code, About: "codes of warnings about harm"}.list(),
		mappingOf("source", s.source, "where the values come from; that of the component or family unless stated"),
		names("reason", "why the values were last changed"),
		date("revision_date", "since when they stand so; the review date of the source unless stated"),
	}}
	selector := []Field{text("variant", "the variant that has these values"), text("mark", "the part mark that has these values; it beats the variant")}
	s.override = s.spec.without("override", "id", "kind", "revision_date")
	s.override.Fields = append(selector[:2:2], s.override.Fields...)
	s.spec.Fields = append(s.spec.Fields, mappingOf("variants", s.override, "what a variant or a marked part has otherwise; the rest is inherited").rows("override"))
}

func fastenerFields() []Field {
	return []Field{
		text("thread", "such as M8x1.25"), word("hand", "right unless stated", "right", "left"), text("property_class", "such as 10.9"),
		text("head", "hexagon, socket and so on"), text("into", "steel, light_alloy, insert"),
		word("condition", "of the thread", "dry", "oiled", "thread_lock", "anti_seize", "coated"),
		whole("count", 1, 100, "how many there are"),
		word("access", "how a wrench gets at it", "open", "crowfoot", "extension", "no_wrench"),
		word("reuse", "whether it is fitted again", "reusable", "one_time"),
		word("retorque", "when it is tightened again", "never", "after_first_run", "cold"),
		word("prevailing", "whether the torque includes the running torque of a prevailing nut", "included", "extra", "unstated"),
		number("running_torque", "least running torque of a prevailing nut"),
		text("locking", "tab_washer, split_pin, wire"), text("pattern", "order of the fasteners, such as crosswise"),
		yesNo("taper", "the nut draws a taper home"), whole("slots", 1, 24, "slots of a castle nut a turn")}
}
