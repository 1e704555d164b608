package torque

type metricRow struct {
	size   string
	coarse string // empty: fine pitches alone
	fine   []string
}

// metricPitches are the sizes from M3 to M24 with their pitches (ISO 261 and DIN 13; from memory).
var metricPitches = [...]metricRow{
	{"3", "0.5", []string{"0.35"}},
	{"3.5", "0.6", []string{"0.35"}},
	{"4", "0.7", []string{"0.5"}},
	{"4.5", "0.75", []string{"0.5"}},
	{"5", "0.8", []string{"0.5"}},
	{"5.5", "", []string{"0.5"}},
	{"6", "1", []string{"0.75"}},
	{"7", "1", []string{"0.75"}},
	{"8", "1.25", []string{"1", "0.75"}},
	{"9", "1.25", []string{"1", "0.75"}},
	{"10", "1.5", []string{"1.25", "1", "0.75"}},
	{"11", "1.5", []string{"1", "0.75"}},
	{"12", "1.75", []string{"1.5", "1.25", "1"}},
	{"14", "2", []string{"1.5", "1.25", "1"}},
	{"15", "", []string{"1.5", "1"}},
	{"16", "2", []string{"1.5", "1"}},
	{"17", "", []string{"1.5", "1"}},
	{"18", "2.5", []string{"2", "1.5", "1"}},
	{"20", "2.5", []string{"2", "1.5", "1"}},
	{"22", "2.5", []string{"2", "1.5", "1"}},
	{"24", "3", []string{"2", "1.5", "1"}},
}

type unifiedRow struct {
	size         string
	inches       float64
	coarse, fine int // threads an inch
}

// unifiedSizes are the UNC and UNF sizes up to one inch (ASME B1.1; from memory).
var unifiedSizes = [...]unifiedRow{
	{"4", 0.112, 40, 48},
	{"5", 0.125, 40, 44},
	{"6", 0.138, 32, 40},
	{"8", 0.164, 32, 36},
	{"10", 0.190, 24, 32},
	{"12", 0.216, 24, 28},
	{"1/4", 0.25, 20, 28},
	{"5/16", 0.3125, 18, 24},
	{"3/8", 0.375, 16, 24},
	{"7/16", 0.4375, 14, 20},
	{"1/2", 0.5, 13, 20},
	{"9/16", 0.5625, 12, 18},
	{"5/8", 0.625, 11, 18},
	{"3/4", 0.75, 10, 16},
	{"7/8", 0.875, 9, 14},
	{"1", 1, 8, 12},
}
