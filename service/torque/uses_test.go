package torque_test

import (
	"testing"

	"endfloat/service/quantity"
	"endfloat/service/torque"
)

// Whether a running torque counts is for the source to say; where it does not, both settings are told.
func TestUsesOfARunningTorque(t *testing.T) {
	t.Parallel()
	two := quantity.Int(2)
	for _, row := range []struct {
		prevailing    string
		without, with bool
		silent        bool
	}{
		{torque.Extra, true, true, false},
		{torque.Included, false, false, false},
		{torque.Unstated, false, true, true},
		{"", false, true, true},
	} {
		w := torque.Wanted{Prevailing: row.prevailing}
		without, with, silent := w.Uses(torque.Extension{}, two)
		for _, use := range []struct {
			name string
			use  torque.Use
			adds bool
		}{{"without", without, row.without}, {"with", with, row.with}} {
			if use.use.HasRunning != use.adds || use.adds && !use.use.Running.Equal(two) || !use.adds && use.use.Running.Sign() != 0 {
				t.Errorf("%q, %s: %+v", row.prevailing, use.name, use.use)
			}
		}
		if silent != row.silent {
			t.Errorf("%q: silent is %v", row.prevailing, silent)
		}
	}
}
