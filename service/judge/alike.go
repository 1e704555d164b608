package judge

import (
	"endfloat/service/note"
	"endfloat/service/quantity"
)

// FewestAlike is how many checks have to say the same before it is remarked on. Common practice, no source.
const FewestAlike = 4

// Likeness looks at the checks of a batch one by one and remarks, for whoever inspects, that every one has one and the
// same reading, or that every one with an aim hits it to the digit. It judges nothing. The zero value has seen none; it
// is not safe for concurrent use.
type Likeness struct {
	checks    int
	readings  int
	figure    quantity.Decimal // of the first reading
	different bool             // of another reading
	aimed     int              // checks with an aim
	hit       int              // of these, those whose every reading is the aim
}

// Add looks at a check; nil is one that could not be read.
func (a *Likeness) Add(c *Check) {
	a.checks++
	if c == nil {
		return
	}
	onAim := c.Spec.HasTarget
	for i := range c.Readings {
		r := &c.Readings[i]
		if !r.HasValue {
			onAim = false
			continue
		}
		if a.readings == 0 {
			a.figure = r.Value
		}
		a.readings++
		a.different = a.different || r.Value.Cmp(a.figure) != 0
		if onAim {
			x, ok := quantity.In(r.Value, c.Unit, c.Spec.Unit)
			onAim = ok && x.Equal(c.Spec.Target.Exact())
		}
	}
	if c.Spec.HasTarget && len(c.Readings) > 0 {
		a.aimed++
		if onAim {
			a.hit++
		}
	}
}

// Notes are the remarks.
func (a *Likeness) Notes() (notes []note.Note) {
	if !a.different && a.readings >= FewestAlike && a.checks >= FewestAlike {
		notes = append(notes, note.New("same_reading_on_lines", note.Str("figure", a.figure.String())))
	}
	if a.hit >= FewestAlike && a.hit == a.aimed {
		notes = append(notes, note.New("copied_from_aim", note.Count("lines", a.hit)))
	}
	return notes
}
