package problem

import "endfloat/api/compact"

// AppendJSON appends the fault.
func (f *Fault) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("code", f.Code)
	o.Text("detail", f.Detail)
	o.TextIf("fix", f.Fix)
	if f.Pointer != nil {
		o.Text("pointer", *f.Pointer)
	}
	o.TextIf("parameter", f.Parameter)
	o.TextIf("header", f.Header)
	if f.Row != nil {
		o.Int("row", *f.Row)
	}
	o.TextIf("column", f.Column)
	return o.Close()
}
