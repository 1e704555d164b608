package catalogue

import (
	"slices"
	"strconv"
	"strings"

	"endfloat/service/note"
)

// Outcome is what an engine number turned out to be.
type Outcome string

// The outcomes.
const (
	Match      Outcome = "match"       // one variant of one family
	Ambiguous  Outcome = "ambiguous"   // several variants; a feature tells them apart
	NoneFound  Outcome = "none"        // no prefix of the catalogue begins it
	NotCovered Outcome = "not_covered" // the prefix is known, the serial number lies in no run
)

// Candidate is a variant that an engine number may mean, with the reason.
type Candidate struct {
	Family  *Family
	Variant *Variant
	Number  string // the number as it would have to read: prefix and serial
	Why     note.Note
}

// Identification is what is known about one engine number. Candidates of a Match are exactly one; look-alike
// readings are candidates and never the match.
type Identification struct {
	Raw        string // as stamped
	Normalised string
	Prefix     string // the longest that begins it; empty: none
	Serial     uint64
	Outcome    Outcome
	Why        []note.Note
	Candidates []Candidate
}

// Identify reads an engine number against the runs of every family. The longest prefix goes first; a serial number in
// a gap, before the first or after the last engine of a prefix is NotCovered and is never moved to the nearest run.
// It is safe for concurrent use.
func (r *Revision) Identify(number string) Identification {
	id := Identification{Raw: number, Outcome: NoneFound}
	if len(number) > longestNumber {
		id.Why = append(id.Why, note.New("number_too_long", note.Count("longest", longestNumber)))
		return id
	}
	id.Normalised = Normalise(number)
	prefix, known := r.longestPrefix(id.Normalised)
	switch {
	case id.Normalised == "":
		id.Why = append(id.Why, note.New("number_empty"))
		return id
	case !known:
		id.Why = append(id.Why, r.unread(id.Normalised))
	default:
		id.Prefix = prefix
		id.Serial, _ = serialOf(id.Normalised[len(prefix):])
		id.Candidates = r.covering(prefix, id.Serial, note.New("serial_in_range"))
		id.settle(r)
	}
	if len(id.Candidates) == 0 {
		id.Candidates = r.lookAlike(id.Normalised)
	}
	return id
}

// settle names the outcome of the runs that cover the serial number.
func (id *Identification) settle(r *Revision) {
	switch len(id.Candidates) {
	case 0:
		id.Outcome = NotCovered
		id.Why = append(id.Why, r.uncovered(id.Prefix, id.Serial))
	case 1:
		id.Outcome = Match
		id.Why = append(id.Why, id.Candidates[0].Why)
	default:
		id.Outcome = Ambiguous
		id.Why = append(id.Why, note.New("several_variants", note.Count("count", len(id.Candidates))))
	}
}

// longestPrefix is the longest known prefix behind which a serial number stands.
func (r *Revision) longestPrefix(number string) (prefix string, ok bool) {
	for n := min(len(number)-1, r.longest); n > 0; n-- {
		if len(r.prefixes[number[:n]]) == 0 {
			continue
		}
		if _, digits := serialOf(number[n:]); digits {
			return number[:n], true
		}
	}
	return "", false
}

// unread says why a number could not be split: its prefix is known but what follows is no serial number, or nothing
// follows, or nothing is known.
func (r *Revision) unread(number string) note.Note {
	for n := min(len(number), r.longest); n > 0; n-- {
		if len(r.prefixes[number[:n]]) > 0 {
			if rest := number[n:]; rest != "" {
				return note.New("serial_unreadable", note.Str("prefix", number[:n]), note.Str("rest", rest), note.Count("most", serialDigits))
			}
			return note.New("serial_missing", note.Str("prefix", number[:n]))
		}
	}
	return note.New("prefix_unknown")
}

// covering lists the variants whose runs behind a prefix hold a serial number, in the order of families and variants.
func (r *Revision) covering(prefix string, serial uint64, why note.Note) []Candidate {
	var out []Candidate
	for _, run := range r.prefixes[prefix] {
		if !run.Covers(serial) || slices.ContainsFunc(out, func(c Candidate) bool { return c.Variant == run.variant }) {
			continue
		}
		w := note.New(why.Code, append(slices.Clone(why.Params), run.params()...)...)
		out = append(out, Candidate{Family: run.family, Variant: run.variant, Number: prefix + " " + strconv.FormatUint(serial, 10), Why: w})
	}
	return out
}

// uncovered says where a serial number lies when no run of its prefix holds it.
func (r *Revision) uncovered(prefix string, serial uint64) note.Note {
	var before, after uint64 // ends of the nearest runs; 0: none
	for _, run := range r.prefixes[prefix] {
		if run.To != 0 && run.To < serial {
			before = max(before, run.To)
		}
		if run.From > serial && (after == 0 || run.From < after) {
			after = run.From
		}
	}
	params := []note.Param{note.Str("prefix", prefix), note.Str("serial", strconv.FormatUint(serial, 10))}
	first, last := note.Str("next_from", strconv.FormatUint(after, 10)), note.Str("last_to", strconv.FormatUint(before, 10))
	switch {
	case before == 0:
		return note.New("serial_before_first", append(params, first)...)
	case after == 0:
		return note.New("serial_after_last", append(params, last, note.Str("revision_date", r.Date))...)
	}
	return note.New("serial_in_gap", append(params, last, first)...)
}

// lookAlike lists what a number would mean if characters that look alike were exchanged: a candidate, never a match.
func (r *Revision) lookAlike(number string) []Candidate {
	read := alike(number)
	var out []Candidate
	for _, prefix := range r.prefixOrder {
		if !strings.HasPrefix(read, alike(prefix)) {
			continue
		}
		serial, ok := serialOf(read[len(prefix):])
		if !ok {
			continue
		}
		why := note.New("look_alike", note.Str("stamped", number), note.Str("read_as", prefix+read[len(prefix):]))
		out = append(out, r.covering(prefix, serial, why)...)
	}
	return out
}
