package shim

import (
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// next is what to do besides: before fitting, then after it.
func (p *problem) next(out *Plan) []note.Note {
	var list []note.Note
	if p.wearLook {
		list = append(list, note.New("check_wear_first"))
	}
	for _, s := range p.sets {
		for _, key := range s.shims.WearOf {
			if !p.measured(key) {
				list = append(list, note.New("check_wear", note.Str("spec", string(key))))
			}
		}
	}
	for _, r := range p.refused {
		list = append(list, r.Next...)
	}
	switch out.Outcome {
	case Leave:
		return unique(list)
	case NoneSure:
		list = append(list, note.New("measure_finer"))
	case NoneInBand:
		list = append(list, note.New("other_sizes"))
	}
	if out.Outcome != NoneInBand {
		for _, pl := range p.places {
			if pl.free() && pl.of.Against == "circlip" {
				list = append(list, note.New("renew_circlip"))
			}
		}
		list = append(list, note.New("measure_shims_before"), note.New("measure_after"), note.New("turn_through"))
	}
	return unique(list)
}

func (p *problem) measured(key spec.Key) bool {
	for i := range p.in.Measured {
		if p.in.Measured[i].Check.Spec.Key == key {
			return true
		}
	}
	return false
}

// nextRefused is what to do where nothing can be planned.
func (p *problem) nextRefused(because string, about []spec.Key) []note.Note {
	var list []note.Note
	for _, key := range about {
		switch because {
		case "worn_part":
			list = append(list, note.New("replace_worn", note.Str("spec", string(key))))
		case "not_adjustable":
			list = append(list, note.New("no_shim_adjusts", note.Str("spec", string(key))))
		}
	}
	for _, r := range p.refused {
		list = append(list, r.Next...)
	}
	return unique(list)
}

// trace says how the ranking came about.
func (p *problem) trace(s *solver, out *Plan) []note.Note {
	list := []note.Note{
		note.New("trace_relation", note.Count("specs", len(p.gauges)), note.Count("places", len(p.places)), note.Count("parts", len(s.parts))),
		note.New("trace_demand", note.Str("demand", quantity.FromFloat(out.Demand).Print(0, 3).String())),
		note.New("trace_objective", note.Str("objective", string(p.goal))),
		note.New("trace_work", note.Count("used", out.Used), note.Count("nodes", out.Nodes)),
	}
	if p.goal == Closest && p.g > 0 {
		best := quantity.Frac(s.best, p.grid.specs)
		list = append(list, note.New("trace_class", note.Qty("width", p.width().Print(3, 3), quantity.Millimetre)), note.New("trace_best", note.Qty("best", best.Print(3, 3), quantity.Millimetre)))
	}
	return list
}
