package wire

import (
	"github.com/go-json-experiment/json"

	"endfloat/api/scan"
)

// ReadJSON reads a number; a text in its place is left to UnmarshalJSONFrom.
func (n *Number) ReadJSON(r *scan.Reader) { *n = NumberFromText(r.Number()) }

// ReadJSON reads the reading.
func (q *ReadingRequest) ReadJSON(r *scan.Reader) {
	for o := r.Object(); o.Next(); {
		switch o.Key {
		case "value":
			q.Value.ReadJSON(r)
		case "repeats":
			q.Repeats = scan.List(r, 4, (*Number).ReadJSON)
		case "blades":
			q.Blades = scan.List(r, 4, (*BladeRequest).ReadJSON)
		case "category":
			q.Category = r.Text()
		case "position":
			q.Position = r.Text()
		case "stage":
			q.Stage = r.Int()
		case "angle":
			q.Angle.ReadJSON(r)
		case "running_torque":
			q.Running.ReadJSON(r)
		case "how":
			q.How = r.Text()
		default:
			r.Fail()
		}
	}
}

// ReadJSON reads the blade.
func (q *BladeRequest) ReadJSON(r *scan.Reader) {
	for o := r.Object(); o.Next(); {
		switch o.Key {
		case "size":
			q.Size.ReadJSON(r)
		case "feel":
			q.Feel = r.Text()
		default:
			r.Fail()
		}
	}
}

// ReadJSON reads the instrument.
func (q *InstrumentRequest) ReadJSON(r *scan.Reader) {
	for o := r.Object(); o.Next(); {
		switch o.Key {
		case "id":
			q.ID = r.Text()
		case "kind":
			q.Kind = r.Text()
		case "standard_uncertainty":
			q.StandardUncertainty.ReadJSON(r)
		case "expanded_uncertainty":
			q.ExpandedUncertainty.ReadJSON(r)
		case "k":
			q.K.ReadJSON(r)
		case "accuracy":
			q.Accuracy.ReadJSON(r)
		case "accuracy_percent":
			q.AccuracyPercent.ReadJSON(r)
		case "distribution":
			q.Distribution = r.Text()
		case "level":
			q.Level.ReadJSON(r)
		case "resolution":
			q.Resolution.ReadJSON(r)
		case "blade_set":
			q.BladeSet = scan.List(r, 16, (*Number).ReadJSON)
		case "blade_tolerance":
			q.BladeTolerance.ReadJSON(r)
		case "range":
			q.Range.ReadJSON(r)
		case "directions":
			q.Directions = r.Text()
		case "correction":
			q.Correction.ReadJSON(r)
		case "calibration_due":
			q.CalibrationDue = r.Text()
		default:
			r.Fail()
		}
	}
}

// ReadJSON reads the correction.
func (c *Correction) ReadJSON(r *scan.Reader) {
	for o := r.Object(); o.Next(); {
		switch o.Key {
		case "tip_angle_deg":
			c.TipAngle.ReadJSON(r)
		case "probe_radius":
			c.ProbeRadius.ReadJSON(r)
		case "pitch_radius":
			c.PitchRadius.ReadJSON(r)
		case "runout":
			c.Runout = r.Text()
		default:
			r.Fail()
		}
	}
}

// ReadJSON reads the interval.
func (q *RangeRequest) ReadJSON(r *scan.Reader) {
	for o := r.Object(); o.Next(); {
		switch o.Key {
		case "lower":
			q.Lower.ReadJSON(r)
		case "upper":
			q.Upper.ReadJSON(r)
		default:
			r.Fail()
		}
	}
}

// ReadJSON reads the mark.
func (q *MarkRequest) ReadJSON(r *scan.Reader) {
	for o := r.Object(); o.Next(); {
		switch o.Key {
		case "component":
			q.Component = r.Text()
		case "mark":
			q.Mark = r.Text()
		default:
			r.Fail()
		}
	}
}

// ReadJSON reads the spec. It is one of the requests that are rare: the decoder of all others reads it.
func (c *CallerSpecRequest) ReadJSON(r *scan.Reader) {
	if json.Unmarshal([]byte(r.Raw()), c, json.RejectUnknownMembers(true)) != nil {
		r.Fail()
	}
}
