package judge

import (
	"endfloat/service/note"
	"endfloat/service/quantity"
)

// FewestAlike is how many checks have to say the same before it is remarked on. Common practice, no source.
const FewestAlike = 4

// Alike remarks, for whoever inspects, that every check of a batch has one and the same reading, or that every check
// with an aim hits it to the digit. It judges nothing.
func Alike(checks []Check) (notes []note.Note) {
	var figure quantity.Decimal
	same, aimed, hit := 0, 0, 0
	different := false
	for i := range checks {
		c := &checks[i]
		if c.Spec == nil {
			continue
		}
		onAim := c.Spec.HasTarget
		for _, r := range c.Readings {
			if !r.HasValue {
				onAim = false
				continue
			}
			if same == 0 {
				figure = r.Value
			}
			same++
			different = different || r.Value.Cmp(figure) != 0
			x, ok := quantity.In(r.Value, c.Unit, c.Spec.Unit)
			onAim = onAim && ok && x.Equal(c.Spec.Target.Exact())
		}
		if c.Spec.HasTarget && len(c.Readings) > 0 {
			aimed++
			if onAim {
				hit++
			}
		}
	}
	if !different && same >= FewestAlike && len(checks) >= FewestAlike {
		notes = append(notes, note.New("same_reading_on_lines", note.Str("figure", figure.String())))
	}
	if hit >= FewestAlike && hit == aimed {
		notes = append(notes, note.New("copied_from_aim", note.Count("lines", hit)))
	}
	return notes
}
