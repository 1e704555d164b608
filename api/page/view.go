package page

import "strings"

// Field is a heading with its value; on a blank sheet an empty value is a line to write on.
type Field struct{ Label, Value string }

// Caution is a warning about harm.
type Caution struct{ Text string }

// Blank is a sheet to be filled by hand. Heads are the headings of the columns: line, as found, as built, done.
type Blank struct {
	Frame
	Heading   string
	About     string
	Notice    string
	Fields    []Field
	Cautions  []Caution
	CautionsH string
	Warnings  []string
	Heads     BlankHeads
	Groups    []Group
	RenewH    string
	Renew     []Field // what, how many
}

// BlankHeads are the headings of a blank sheet.
type BlankHeads struct {
	Line, Found, Built, Shims, ShimsAfter, By, At, Tool, Witness, Waiver, Note, Renewed string
}

// Group is a component with its lines. Gate closes after it; empty: nothing does.
type Group struct {
	Name  string
	Lines []BlankLine
	Gate  string
}

// Limits are what is allowed in one line of text, with the figures that the eye looks for by themselves.
type Limits struct{ Before, Band, After string }

// LimitsOf takes a line of text apart at the first place where band stands. A line without it is all Before.
func LimitsOf(line, band string) Limits {
	before, after, _ := strings.Cut(line, band)
	if band == "" || before == line {
		return Limits{Before: line}
	}
	return Limits{before, band, after}
}

// BlankLine is a line to be filled. Found and Built are its boxes.
type BlankLine struct {
	Number, Name, Key, Left, Unit string
	Limits                        Limits
	Alternatives                  []string
	Where, After, Estimate        string
	Cautions                      []string
	Renew                         []string
	Critical                      string
	Found, Built                  []struct{}
	Shims, Waiver                 bool
}

// Boxes are n boxes to write in.
func Boxes(n int) []struct{} { return make([]struct{}, n) }

// Report is a judged sheet for the customer.
type Report struct {
	Frame
	Heading        string
	Verdict        string // the word for the shape of its frame: pass, fail and so on
	OutcomeH       string
	Outcome        string
	Counts         string
	Fields         []Field
	Signature      string
	Notice         string
	Gates          Section
	GateList       []Gate
	Waivers        Section
	Contradictions Section
	Missing        Section
	Renewed        Section
	Order          Section
	Cautions       Section
	Warnings       []string
	Heads          ReportHeads
	Lines          []ReportLine
	Signs          []Field // to be signed by hand
}

// Section is a heading with a list. None stands where the list is empty.
type Section struct {
	Heading string
	Items   []string
	None    string
}

// Gate is a gate with what stands before it, and under OpenH what is not proven and stands before nothing.
type Gate struct {
	Name    string // with the mark that its language puts before the state
	State   string
	Blocked bool
	Items   []string
	OpenH   string
	Open    []string
}

// ReportHeads are the headings of a report.
type ReportHeads struct{ Line, Found, Built, Verdict string }

// ReportLine is a line of a report. ID is what the caller calls it, Advice is what follows from the verdict, Done what was said beside the readings.
type ReportLine struct {
	Number, ID, Name, Key, Left, Mark, Critical string
	Limits                                      Limits
	Found, Built                                Stage
	Verdict                                     string
	Advice                                      []string
	Done                                        []Field
	Cautions                                    []string
	Picture                                     []byte // an SVG; none where empty
	Alt                                         string // its text alternative
}

// Stage is what was read, what is said of it by itself, and the readings.
type Stage struct{ Value, Said, Detail string }
