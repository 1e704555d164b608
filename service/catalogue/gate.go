package catalogue

// Gate is a moment after which what lies behind it can no longer be reached. The zero value is FirstStart.
type Gate string

// The gates, in the order in which an engine passes them.
const (
	CasesClose Gate = "cases_close"
	HeadOn     Gate = "head_on"
	FirstStart Gate = "first_start"
)

// Gates lists the gates in their order.
func Gates() []Gate { return []Gate{CasesClose, HeadOn, FirstStart} }

// Closes is the gate that closes over a component, with its default.
func (c *Component) Closes() Gate {
	if c.Gate == "" {
		return FirstStart
	}
	return c.Gate
}
