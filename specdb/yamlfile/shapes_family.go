package yamlfile

func (s *shapes) makeShims() {
	s.effect = &Shape{"effect", []Field{
		slug("spec", "spec of the component").need(),
		number("change", "its change per mm of thickness added: -1 for a plain stack").need()}}
	s.place = &Shape{"place", []Field{
		slug("id", "name within the set").need(),
		names("name", "name in plain words"),
		whole("min_pieces", 0, 20, "fewest pieces; 1 unless stated"),
		whole("max_pieces", 1, 20, "most pieces; 1 unless stated"),
		word("against", "the thinnest piece never touches this face", "circlip", "rotating"),
		mappingOf("per_mm", s.effect, "what a thicker piece changes").list().need()}}
	s.offset = &Shape{"offset", []Field{
		text("between", "two places of the set; positive is towards the second").list().need(),
		number("limit", "how far off centre the stack may stand")}}
	s.rung = &Shape{"rung", []Field{
		number("thickness", "as printed on the piece").need(),
		mappingOf("tolerance", s.limits, "both ends relative to the thickness"),
		sku("sku", "part number of this size"),
		sku("superseded_by", "part number that replaces it"),
		text("from_serial", "first engine that takes it"),
		text("to_serial", "last engine that takes it")}}
	s.shims = &Shape{"shims", []Field{
		slug("id", "name within the component; the key is family/component/id").need(),
		names("name", "name in plain words").need(),
		Field{Key: "unit", Type: Unit, About: "unit of every thickness"}.need(),
		whole("decimals", 0, 9, "digits that are shown; those of the finest size unless stated"),
		mappingOf("places", s.place, "where pieces can be added").rows("place").need(),
		mappingOf("offset", s.offset, "where the stack stands between two places"),
		slug("wear_of", "specs of parts that shims must not hide when worn out").list(),
		mappingOf("ladder", s.rung, "sizes that can be bought").rows("rung").need(),
		yesNo("grind_to", "the source allows grinding a piece to size"),
		Field{Key: "cautions", Type: Code, About: "codes of warnings about harm"}.list(),
		mappingOf("source", s.source, "where the values come from"),
		date("revision_date", "since when they stand so; the review date of the source unless stated")}}
	s.shimOverride = s.shims.without("shim_override", "id", "revision_date")
	s.shimOverride.Fields = append([]Field{text("variant", "the variant that has this set"), text("mark", "the part mark that has this set")}, s.shimOverride.Fields...)
	s.shims.Fields = append(s.shims.Fields, mappingOf("variants", s.shimOverride, "what a variant or a marked part has otherwise").rows("shim_override"))
}

func (s *shapes) makeFamily() {
	s.run = &Shape{"run", []Field{
		text("prefix", "letters before the serial number").need(),
		whole("from", 0, 999_999_999, "first serial number").need(),
		whole("to", 0, 999_999_999, "last serial number; open where it is left out")}}
	s.variant = &Shape{"variant", []Field{
		slug("id", "name within the family").need(),
		names("name", "name in plain words"),
		mappingOf("ranges", s.run, "runs of engine numbers; gaps between them are unknown engines").list(),
		names("feature", "what tells it apart by eye")}}
	s.part = &Shape{"part", []Field{
		sku("sku", "part number").need(),
		names("name", "name in plain words").need(),
		whole("quantity", 1, 1000, "how many an engine has"),
		names("position", "where it sits"),
		text("size", "size in words"),
		yesNo("renew", "always renewed at a rebuild"),
		sku("superseded_by", "part number that replaces it"),
		sku("supersedes", "part numbers that it replaces").list(),
		slug("specs", "specs of the component that involve it").list(),
		sku("companions", "parts that are renewed or fitted with it").list(),
		text("variants", "variants that it fits; all unless stated").list()}}
	s.component = &Shape{"component", []Field{
		slug("id", "name within the family").need(),
		names("name", "name in plain words").need(),
		text("marks", "part marks that select values; name the plain one too").list(),
		names("mark_place", "where the mark is found"),
		Field{Key: "cautions", Type: Code, About: "codes of warnings about harm"}.list(),
		word("gate", "what closes over it; the first start unless stated", "cases_close", "head_on", "first_start"),
		word("scopes", "kinds of work that it belongs to beside a full rebuild", "top_end", "bottom_end", "gearbox").list(),
		mappingOf("source", s.source, "where the values come from"),
		mappingOf("specs", s.spec, "limits and torques").rows("spec"),
		mappingOf("shims", s.shims, "where thickness can be added").rows("shims"),
		mappingOf("parts", s.part, "what has a part number").rows("part")}}
	s.family = &Shape{"family", []Field{
		slug("family", "key of the family; part of every address").need(),
		names("name", "name in plain words").need(),
		text("maker", "who made the engines"),
		names("description", "what the engine is, in a line"),
		text("aliases", "other names that people look for").list(),
		mappingOf("source", s.source, "where the values come from").need(),
		mappingOf("variants", s.variant, "runs of engines that differ").rows("variant"),
		mappingOf("components", s.component, "in the order in which they are assembled").rows("component").need()}}
}

func (s *shapes) makeHead() {
	s.policy = &Shape{"policy", []Field{
		text("name", "name that answers show").need(),
		word("rule", "guarded keeps a guard band, simple keeps none", "guarded", "simple").need(),
		word("guard", "width of the guard band", "U", "1.65u").need(),
		yesNo("require_uncertainty", "nothing is judged without one")}}
	s.instrument = &Shape{"instrument", []Field{
		{Key: "kind", Type: Code, Need: true, About: "word by which requests name it"},
		names("name", "name in plain words").need(),
		{Key: "unit", Type: Unit, About: "unit of standard_uncertainty and resolution"},
		number("standard_uncertainty", "one standard uncertainty (k = 1)"),
		number("accuracy_percent", "limit of error in percent of what is read"),
		number("small_maximum", "a tool whose maximum is at most this"),
		number("small_accuracy_percent", "has this limit of error instead"),
		number("resolution", "smallest step that is read"),
		text("basis", "where the figure comes from").need()}}
	s.caution = &Shape{"caution", []Field{
		{Key: "code", Type: Code, Need: true, About: "word by which specs name it"},
		whole("severity", 1, 9, "1 is the most severe").need()}}
	s.withdrawn = &Shape{"withdrawn", []Field{
		text("revision", "name of a revision that should not be used any more").need(),
		names("reason", "why").need()}}
	s.head = &Shape{"catalogue", []Field{
		date("revision_date", "date of this state of the catalogue").need(),
		names("reason", "why this state was made"),
		mappingOf("policy", s.policy, "how readings are judged where a request says nothing; built in unless stated"),
		mappingOf("instruments", s.instrument, "what instruments are taken to be good for; built in unless stated").list(),
		mappingOf("cautions", s.caution, "severities; those not listed are as built in").list(),
		mappingOf("withdrawn", s.withdrawn, "earlier revisions that should not be used any more").list()}}
}
