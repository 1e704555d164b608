package catalogue

import (
	"slices"

	"endfloat/service/note"
)

// Narrow fills in the variant that an engine number of the selection means within a family. A variant that was named
// stands. Where several variants of the family stay possible, Among lists them and the values that they share are
// still decided. The notes say what the number could not decide: engine_number_unknown, engine_number_of_other_family,
// engine_number_ambiguous, engine_number_not_covered, or variant_differs_from_number where the two disagree.
func (r *Revision) Narrow(f *Family, sel Selection) (Selection, []note.Note) {
	if sel.EngineNumber == "" {
		return sel, nil
	}
	id := r.Identify(sel.EngineNumber)
	stamped := note.Str("engine_number", id.Normalised)
	var among []string
	if id.Outcome == Match || id.Outcome == Ambiguous {
		for _, c := range id.Candidates {
			if c.Family == f {
				among = append(among, c.Variant.ID)
			}
		}
		if len(among) == 0 {
			return sel, []note.Note{note.New("engine_number_of_other_family", stamped, note.Str("family", id.Candidates[0].Family.Key))}
		}
	}
	switch {
	case len(among) == 1 && sel.Variant == "":
		sel.Variant = among[0]
		return sel, nil
	case len(among) > 1 && sel.Variant == "":
		sel.Among = among
		return sel, []note.Note{note.New("engine_number_ambiguous", stamped, note.Count("count", len(among)))}
	case len(among) > 0 && !slices.Contains(among, sel.Variant):
		return sel, []note.Note{note.New("variant_differs_from_number", stamped, note.Str("variant", sel.Variant), note.Str("number_means", among[0]))}
	case len(among) > 0:
		return sel, nil
	case id.Outcome == NotCovered:
		return sel, []note.Note{note.New("engine_number_not_covered", stamped)}
	}
	return sel, []note.Note{note.New("engine_number_unknown", stamped)}
}
