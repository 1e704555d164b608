package linked

// Code is the common code of a unit in UN/CEFACT Recommendation 20, "Codes for Units of Measure Used in International
// Trade"; empty where none is known, and then the unit stands as text alone. The codes were taken from the property
// uneceCommonCode of the QUDT 3.1 vocabulary of units (qudt.org, CC BY 4.0), which quotes the Recommendation.
func Code(unit string) string {
	switch unit {
	case "mm":
		return "MMT"
	case "µm":
		return "4H"
	case "in":
		return "INH"
	case "thou":
		return "77"
	case "N·m":
		return "NU"
	case "lbf·ft":
		return "M92"
	case "lbf·in":
		return "F21"
	case "kgf·m":
		return "B38"
	case "°":
		return "DD"
	case "N":
		return "NEW"
	case "kPa":
		return "KPA"
	case "bar":
		return "BAR"
	case "cm³":
		return "CMQ"
	case "%":
		return "P1"
	}
	return ""
}
