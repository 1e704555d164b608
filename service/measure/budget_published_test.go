package measure_test

import (
	"encoding/json"
	"math"
	"testing"

	"endfloat/service/measure"
)

// JCGM 100, H.1: the calibration of an end gauge of 50 mm. The two differences that were only bounded enter as limits of
// error: a_δθ · l · α for the temperature and a_δα · l · θ for the expansion.
func TestBudgetOfAnEndGauge(t *testing.T) {
	t.Parallel()
	done := 0
	for _, p := range cases(t, "uncertainty_budget") {
		var in struct {
			Length     float64   `json:"ls_nm"`
			Standard   float64   `json:"u_ls"`
			Difference float64   `json:"d_nm"`
			Parts      []float64 `json:"u_d_parts"`
			Alpha      float64   `json:"alpha_s"`
			DeltaAlpha float64   `json:"a_delta_alpha"`
			Mean       float64   `json:"theta_mean_C"`
			DeltaTheta float64   `json:"a_delta_theta"`
			Combined   float64   `json:"u_c_nm"`
			P          float64   `json:"p"`
		}
		if err := json.Unmarshal(p.Inputs, &in); err != nil {
			continue // another kind of budget
		}
		switch {
		case in.Length > 0:
			done++
			std := func(u float64) measure.Budget {
				return measure.Error{Source: measure.FromCaller, Std: u}.Budget()
			}
			limit := func(a float64) measure.Budget {
				return measure.Error{Source: measure.FromCaller, Limit: math.Abs(a)}.Budget()
			}
			theta, alpha := limit(in.DeltaTheta*in.Length*in.Alpha), limit(in.DeltaAlpha*in.Length*in.Mean)
			near(t, p, "u_delta_theta_nm", theta.Standard())
			near(t, p, "u_delta_alpha_nm", alpha.Standard())
			b := std(in.Standard).Plus(theta).Plus(alpha)
			for _, u := range in.Parts {
				b = b.Plus(std(u))
			}
			near(t, p, "u_c_nm", b.Standard())
		case in.Combined > 0:
			done++
			// H.1.6: 16.7 effective degrees of freedom are cut to 16.
			near(t, p, "U99_nm", in.Combined*measure.StudentT(16.7, in.P))
		}
	}
	if done != 2 {
		t.Errorf("%d budgets", done)
	}
}
