package catalogue

import (
	"strings"

	"endfloat/service/spec"
)

// componentRecords lists the components of a family with their specs, shims and parts.
func componentRecords(f *Family) []record {
	var out []record
	for i, c := range f.Components {
		key := f.Key + "/" + c.Key
		var l lines
		l.text("name", c.Name)
		l.add("order", itoa(i+1))
		l.add("marks", strings.Join(c.Marks, ", "))
		l.text("mark_place", c.MarkPlace)
		l.add("cautions", strings.Join(c.Cautions, ", "))
		l.add("gate", string(c.Gate))
		l.add("scopes", strings.Join(c.Scopes, ", "))
		out = append(out, record{what: OfComponent, key: key, name: c.Name, lines: l})
		for _, e := range c.Specs {
			out = append(out, entryRecord(e))
		}
		for _, e := range c.Shims {
			out = append(out, shimRecord(e))
		}
		for _, p := range c.Parts {
			out = append(out, partRecord(key, p))
		}
	}
	return out
}

func entryRecord(e *Entry) record {
	s := e.Base
	r := record{what: OfSpec, key: string(s.Key), name: s.Name, reason: s.Reason, date: s.RevisionDate, lines: specLines(s)}
	l := lines(r.lines)
	for _, o := range e.Overrides {
		l.under(chosen(o.Variant, o.Mark), changedLines(specLines(s), specLines(o.Spec)))
		if r.reason.Empty() {
			r.reason = o.Spec.Reason
		}
	}
	r.lines = l
	return r
}

// changedLines is what an override says otherwise than its base.
func changedLines(base, over lines) (l lines) {
	for _, f := range differing(base, over) {
		if f.To == "" {
			f.To = "not stated"
		}
		l.add(f.Name, f.To)
	}
	return l
}

func chosen(variant, mark string) string {
	if mark != "" {
		return "mark " + mark + ":"
	}
	return "variant " + variant + ":"
}

func shimRecord(e *ShimEntry) record {
	s := e.Base
	l := shimLines(s)
	for _, o := range e.Overrides {
		l.under(chosen(o.Variant, o.Mark), changedLines(shimLines(s), shimLines(o.Shims)))
	}
	return record{what: OfShims, key: string(s.Key), name: s.Name, date: s.RevisionDate, lines: l}
}

func shimLines(s *spec.ShimSet) (l lines) {
	l.text("name", s.Name)
	l.add("unit", string(s.Unit))
	for _, p := range s.Places {
		name := "place " + p.ID
		l.text(name+" name", p.Name)
		l.add(name+" pieces", itoa(p.MinPieces)+" to "+itoa(p.MaxPieces))
		l.add(name+" against", p.Against)
		for _, x := range p.PerMM {
			l.add(name+" per_mm "+string(x.Spec), x.Change.String())
		}
	}
	if s.Offset.Between[0] != "" {
		l.add("offset.between", s.Offset.Between[0]+", "+s.Offset.Between[1])
		l.number("offset.limit", s.Offset.Limit, s.Offset.HasLimit)
	}
	for _, k := range s.WearOf {
		l.add("wear_of "+string(k), "yes")
	}
	for _, g := range s.Ladder {
		l.rung(g)
	}
	l.yes("grind_to", s.GrindTo)
	l.add("cautions", strings.Join(s.Cautions, ", "))
	l.source(s.Source)
	return l
}

func (l *lines) rung(g spec.Rung) {
	name := "size " + g.SKU
	if g.SKU == "" {
		name = "size " + g.Thickness.String()
	}
	l.add(name+" thickness", g.Thickness.String())
	l.limits(name+" tolerance", g.Tolerance)
	l.add(name+" superseded_by", g.SupersededBy)
	l.add(name+" from_serial", g.FromSerial)
	l.add(name+" to_serial", g.ToSerial)
}

func partRecord(component string, p *Part) record {
	var l lines
	l.text("name", p.Name)
	l.count("quantity", p.Quantity)
	l.text("position", p.Position)
	l.add("size", p.Size)
	l.yes("renew", p.Renew)
	l.add("superseded_by", p.SupersededBy)
	l.add("supersedes", strings.Join(p.Supersedes, ", "))
	for _, k := range p.Specs {
		l.add("spec "+string(k), "yes")
	}
	l.add("companions", strings.Join(p.Companions, ", "))
	l.add("variants", strings.Join(p.Variants, ", "))
	return record{what: OfPart, key: p.SKU + " @ " + component, name: p.Name, lines: l}
}
