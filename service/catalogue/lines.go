package catalogue

import (
	"strconv"
	"strings"

	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// lines collects what is said of a record; what is silent adds none.
type lines []line

func itoa(n int) string    { return strconv.Itoa(n) }
func utoa(n uint64) string { return strconv.FormatUint(n, 10) }

func (l *lines) add(name, value string) {
	if value != "" {
		*l = append(*l, line{name, value})
	}
}

func (l *lines) yes(name string, y bool) {
	if y {
		l.add(name, "true")
	}
}

func (l *lines) count(name string, n int) {
	if n != 0 {
		l.add(name, itoa(n))
	}
}

func (l *lines) number(name string, d quantity.Decimal, has bool) {
	if has {
		l.add(name, d.String())
	}
}

func (l *lines) float(name string, f float64, has bool) {
	if has {
		l.add(name, strconv.FormatFloat(f, 'g', -1, 64))
	}
}

func (l *lines) limits(name string, r quantity.Range) {
	l.number(name+".lower", r.Lower, r.HasLower)
	l.number(name+".upper", r.Upper, r.HasUpper)
}

// text lists a text language by language: name for English, name.de and so on for the others.
func (l *lines) text(name string, t spec.Text) {
	for i, s := range t.All() {
		if i == 0 {
			l.add(name, s)
		} else {
			l.add(name+"."+spec.Languages[i], s)
		}
	}
}

func (l *lines) under(prefix string, other lines) {
	for _, o := range other {
		l.add(prefix+" "+o.name, o.value)
	}
}

// specLines is everything a spec says, by the names that catalogue files use.
func specLines(s *spec.Spec) (l lines) {
	l.add("kind", string(s.Kind))
	l.text("name", s.Name)
	l.add("unit", string(s.Unit))
	l.add("decimals", itoa(s.Decimals))
	l.add("value_form", string(s.ValueForm))
	l.limits("band", s.Band)
	l.number("target", s.Target, s.HasTarget)
	l.add("target_policy", string(s.TargetPolicy))
	l.number("policy_percent", s.PolicyPercent, s.HasPolicy)
	l.limits("wear_limit", s.WearLimit)
	l.limits("plausible", s.Plausible)
	for i, st := range s.Stages {
		name := "stage " + itoa(i+1)
		l.number(name+" value", st.Value, st.HasValue)
		l.number(name+" angle", st.Angle, st.HasAngle)
		l.add(name+" pattern", st.Pattern)
	}
	l.number("angle", s.TurnAngle, s.HasTurnAngle)
	l.number("angle_tolerance", s.AngleTolerance, s.HasAngleTolerance)
	l.add("remedy", string(s.Remedy))
	l.yes("critical", s.Critical)
	l.yes("form", s.Form)
	for _, k := range s.After {
		l.add("after "+string(k), "yes")
	}
	l.yes("waiver", s.Waiver)
	l.points(s.Points)
	for _, z := range s.Sizes {
		l.add("size "+z.Part, itoa(z.Sign))
		l.number("size "+z.Part+" expansion_per_k", z.ExpansionPerK, z.HasExpansion)
	}
	l.add("allowed", strings.Join(s.Allowed, ", "))
	l.add("rejected", strings.Join(s.Rejected, ", "))
	l.text("state", s.State)
	l.add("conditions", strings.Join(s.Conditions, ", "))
	l.add("adjusted_by", string(s.AdjustedBy))
	l.fastener(s.Fastener)
	l.add("cautions", strings.Join(s.Cautions, ", "))
	l.source(s.Source)
	return l
}

func (l *lines) points(p spec.Points) {
	l.count("points.minimum", p.Minimum)
	l.add("points.combine", string(p.Combine))
	l.add("points.against_lower", string(p.AgainstLower))
	l.add("points.against_upper", string(p.AgainstUpper))
	l.number("points.max_spread", p.MaxSpread, p.HasMaxSpread)
	l.text("points.places", p.Places)
}

func (l *lines) fastener(f *spec.Fastener) {
	if f == nil {
		return
	}
	for _, w := range []line{{"thread", f.Thread}, {"hand", string(f.Hand)}, {"property_class", f.PropertyClass}, {"head", f.Head}, {"into", f.Into},
		{"condition", f.Condition}, {"access", f.Access}, {"reuse", f.Reuse}, {"retorque", f.Retorque}, {"prevailing", f.Prevailing},
		{"locking", f.Locking}, {"pattern", f.Pattern}} {
		l.add("fastener."+w.name, w.value)
	}
	l.count("fastener.count", f.Count)
	l.count("fastener.slots", f.Slots)
	l.number("fastener.running_torque", f.Running, f.HasRunning)
	l.yes("fastener.taper", f.Taper)
}

func (l *lines) source(s *spec.Source) {
	if s == nil {
		return
	}
	l.add("source.class", s.Class)
	l.add("source.title", s.Title)
	l.add("source.locator", s.Locator)
	l.add("source.reviewed", s.Reviewed)
	l.add("source.review_by", s.ReviewBy)
	l.count("source.engines", s.Engines)
}
