package sheet

import (
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// regrown finds a part that was put back as it was and is less worn than it was found. Wear takes material away and
// never gives it back, so one of the two readings is of another part, or wrong. It is told of sizes that nothing but
// another part restores: a wear limit on one side, no shims, replaced where it fails.
func (b *bench) regrown(r *Record) {
	s := r.Line.Spec()
	wear := s.WearLimit
	if !r.Reused || !r.Found.Has || !r.Built.Has || s.Kind != spec.Dimension || s.AdjustedBy != "" || s.Remedy != spec.Replace ||
		wear.HasLower == wear.HasUpper {
		return
	}
	found, built := r.Found.Result, r.Built.Result
	if !found.HasValue || !built.HasValue {
		return
	}
	from, to := found, built // in the order of size, where the part has grown
	if wear.HasUpper {
		from, to = built, found
	}
	if high(from).Less(low(to)) {
		b.contradict(Contradiction{Note: note.New("worn_part_grew", note.Qty("found", found.Value.Print(s.Decimals, 1), s.Unit), note.Qty("value", built.Value.Print(s.Decimals, 1), s.Unit)),
			Lines: []*Record{r}, Keys: []spec.Key{s.Key}, Blocks: true})
	}
}

// high is the upper end of what a value may be, low the lower; the value itself where nothing is known about it.
func high(r *judge.Result) quantity.Exact {
	if r.HasUpper {
		return r.Upper.Exact()
	}
	return r.Value
}

func low(r *judge.Result) quantity.Exact {
	if r.HasLower {
		return r.Lower.Exact()
	}
	return r.Value
}
