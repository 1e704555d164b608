package judging

import (
	"endfloat/api/scan"
	"endfloat/api/wire"
)

// leastCheck is about how many bytes the text of a check takes.
const leastCheck = 96

// ReadJSON reads the request.
func (q *EvaluationRequest) ReadJSON(r *scan.Reader) {
	for o := r.Object(); o.Next(); {
		switch o.Key {
		case "variant":
			q.Variant = r.Text()
		case "engine_number":
			q.EngineNumber = r.Text()
		case "marks":
			q.Marks = scan.List(r, 4, (*wire.MarkRequest).ReadJSON)
		case "stage":
			q.Stage = r.Text()
		case "part":
			q.Part = r.Text()
		case "rule":
			q.Rule = r.Text()
		case "guard":
			q.Guard = r.Text()
		case "view":
			q.View = r.Text()
		case "trace":
			q.Trace = r.Bool()
		case "note":
			q.Note = r.Text()
		case "checks":
			q.Checks = scan.List(r, min(MaxChecks, max(1, r.Rest()/leastCheck)), (*CheckRequest).ReadJSON)
		default:
			r.Fail()
		}
	}
}

// ReadJSON reads the check.
func (c *CheckRequest) ReadJSON(r *scan.Reader) {
	for o := r.Object(); o.Next(); {
		switch o.Key {
		case "id":
			c.ID = r.Text()
		case "spec":
			c.Spec = r.Text()
		case "caller_spec":
			c.CallerSpec = &wire.CallerSpecRequest{}
			c.CallerSpec.ReadJSON(r)
		case "variant":
			c.Variant = r.Text()
		case "engine_number":
			c.EngineNumber = r.Text()
		case "marks":
			c.Marks = scan.List(r, 4, (*wire.MarkRequest).ReadJSON)
		case "unit":
			c.Unit = r.Text()
		case "readings":
			c.Readings = scan.List(r, 4, (*wire.ReadingRequest).ReadJSON)
		case "sizes":
			c.Sizes = scan.List(r, 2, (*SizeRequest).ReadJSON)
		case "instrument":
			c.Instrument.ReadJSON(r)
		default:
			c.readHow(o.Key, r)
		}
	}
}

// readHow reads the members that say how a check is judged.
func (c *CheckRequest) readHow(key string, r *scan.Reader) {
	switch key {
	case "how":
		c.How = r.Text()
	case "stage":
		c.Stage = r.Text()
	case "part":
		c.Part = r.Text()
	case "rule":
		c.Rule = r.Text()
	case "guard":
		c.Guard = r.Text()
	case "coverage":
		c.Coverage = r.Text()
	case "condition":
		c.Condition = r.Text()
	case "view":
		c.View = r.Text()
	case "trace":
		c.Trace = r.Bool()
	case "note":
		c.Note = r.Text()
	default:
		r.Fail()
	}
}

// ReadJSON reads the size.
func (z *SizeRequest) ReadJSON(r *scan.Reader) {
	for o := r.Object(); o.Next(); {
		switch o.Key {
		case "part":
			z.Part = r.Text()
		case "sign":
			z.Sign.ReadJSON(r)
		case "readings":
			z.Readings = scan.List(r, 4, (*wire.ReadingRequest).ReadJSON)
		case "instrument":
			z.Instrument.ReadJSON(r)
		case "temperature_c":
			z.Temperature.ReadJSON(r)
		case "expansion_per_k":
			z.Expansion.ReadJSON(r)
		case "instrument_temperature_c":
			z.InstrumentTemp.ReadJSON(r)
		case "instrument_expansion_per_k":
			z.InstrumentExpan.ReadJSON(r)
		default:
			r.Fail()
		}
	}
}
