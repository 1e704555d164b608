package snapshot

import (
	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// spec leaves out the names of family and component, which stand there once.
func (c *codec) spec(p **spec.Spec, x *catalogue.Component, f *catalogue.Family) {
	if !c.writing {
		*p = &spec.Spec{FamilyName: f.Name, ComponentName: x.Name}
	}
	s := *p
	str(c, &s.Key)
	str(c, &s.Kind)
	c.text(&s.Name)
	str(c, &s.Unit)
	c.int(&s.Decimals)
	c.limits(&s.Band)
	c.maybe(&s.HasTarget, &s.Target)
	str(c, &s.TargetPolicy)
	c.limits(&s.WearLimit)
	c.limits(&s.Plausible)
	str(c, &s.Remedy)
	c.yes(&s.Critical)
	c.yes(&s.Form)
	strs(c, &s.After)
	c.yes(&s.Waiver)
	c.points(&s.Points)
	c.text(&s.State)
	strs(c, &s.Conditions)
	str(c, &s.AdjustedBy)
	strs(c, &s.Cautions)
	c.decidedBy(&s.DecidedBy)
	c.source(&s.Source)
	str(c, &s.RevisionDate)
	c.text(&s.Reason)
	list(c, &s.Sizes, func(c *codec, z *spec.Size) {
		str(c, &z.Part)
		sign := int64(z.Sign)
		c.signed(&sign)
		z.Sign = int(sign)
		c.maybe(&z.HasExpansion, &z.ExpansionPerK)
	})
	strs(c, &s.Allowed)
	strs(c, &s.Rejected)
	c.torque(s)
}

func (c *codec) points(p *spec.Points) {
	c.int(&p.Minimum)
	str(c, &p.Combine)
	str(c, &p.AgainstLower)
	str(c, &p.AgainstUpper)
	c.maybe(&p.HasMaxSpread, &p.MaxSpread)
	c.text(&p.Places)
}

func (c *codec) torque(s *spec.Spec) {
	str(c, &s.ValueForm)
	c.maybe(&s.HasPolicy, &s.PolicyPercent)
	list(c, &s.Stages, func(c *codec, t *spec.Stage) {
		c.maybe(&t.HasValue, &t.Value)
		c.maybe(&t.HasAngle, &t.Angle)
		str(c, &t.Pattern)
	})
	c.maybe(&s.HasTurnAngle, &s.TurnAngle)
	c.maybe(&s.HasAngleTolerance, &s.AngleTolerance)
	has := s.Fastener != nil
	if c.yes(&has); !has {
		return
	}
	if !c.writing {
		s.Fastener = &spec.Fastener{}
	}
	f := s.Fastener
	str(c, &f.Thread)
	str(c, &f.Hand)
	for _, p := range []*string{&f.PropertyClass, &f.Head, &f.Into, &f.Condition, &f.Access, &f.Reuse, &f.Retorque, &f.Prevailing, &f.Locking, &f.Pattern} {
		str(c, p)
	}
	c.int(&f.Count)
	c.int(&f.Slots)
	c.yes(&f.Taper)
	c.maybe(&f.HasRunning, &f.Running)
}
