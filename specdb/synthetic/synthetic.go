// Package synthetic makes catalogues of any size, to measure with and for nothing else. Every number in them is made up.
//
// It decides what such a family looks like: components of ten specs with bands, targets, torques, overrides for one variant
// in ten, a shim set with a ladder, and parts. The same number always makes the same family; another edition changes one
// band of it.
//
//	text := synthetic.Family(17, 100, 0)
package synthetic

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// perComponent is how many specs a component has.
const perComponent = 10

// words make names that differ and share words, as real ones do.
var words = [...]string{"axial", "radial", "upper", "lower", "front", "rear", "inner", "outer", "left", "right", "pinion", "carrier", "selector",
	"counter", "primary", "governor", "camshaft", "flywheel", "coupling", "bearing"}

// Key is the key of the family with that number.
func Key(number int) string { return fmt.Sprintf("syn-%05d", number) }

// SpecKey is the key of a spec of a family, counted from 0.
func SpecKey(number, spec int) string {
	return fmt.Sprintf("%s/c%02d/s%d", Key(number), spec/perComponent, spec%perComponent)
}

// Family is the text of a family file with that many specs.
func Family(number, specs, edition int) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "family: %s\nname: {en: Synthetic %d, de: Synthetisch %d}\nmaker: Maker %d\nsource: {class: demo, title: Made up, locator: sheet %d, reviewed: 2026-11-01}\n", Key(number), number, number, number%97, number)
	fmt.Fprintf(&b, "variants:\n  - {id: a, ranges: [{prefix: S%d, from: 1, to: 4999}]}\n  - {id: b, ranges: [{prefix: S%d, from: 5000}]}\ncomponents:\n", number, number)
	for c := 0; c*perComponent < specs; c++ {
		component(&b, number, c, min(perComponent, specs-c*perComponent), edition)
	}
	return []byte(b.String())
}

func word(n int) string { return words[n%len(words)] }

func component(b *strings.Builder, number, c, specs, edition int) {
	fmt.Fprintf(b, "  - id: c%02d\n    name: {en: %s %s, de: Bauteil %d}\n    specs:\n", c, word(c), word(number+c), c)
	for s := range specs {
		if s%3 == 2 {
			bolt(b, number, c, s)
		} else {
			play(b, number, c, s, edition)
		}
	}
	if c == 0 {
		shims(b, number)
	}
	fmt.Fprintf(b, "    parts:\n      - {sku: SYN-%d-%d, name: Part %d, quantity: 1, specs: [s0]}\n", number, c, c)
}

func play(b *strings.Builder, number, c, s, edition int) {
	lower := 5 + (number+7*c+3*s)%20
	upper := lower + 10 + (c+s)%15
	if c == 0 && s == 1 {
		upper += edition
	}
	fmt.Fprintf(b, "      - id: s%d\n        kind: dimension\n        name: {en: %s play %d, de: Spiel %d}\n        unit: mm\n        band: {lower: 0.%02d, upper: 0.%02d}\n        target: 0.%02d\n        target_policy: not_below\n        wear_limit: {upper: %d.50}\n",
		s, word(number+s), s, s, lower, upper, lower, 1+s%3)
	b.WriteString("        points: {minimum: 3, combine: mean, against_lower: min, against_upper: max}\n        state: cold, dry\n")
	if c == 0 && s == 0 {
		b.WriteString("        adjusted_by: stack\n")
	}
	if (number+c+s)%10 == 0 {
		fmt.Fprintf(b, "        variants:\n          - {variant: b, band: {lower: 0.%02d, upper: 0.%02d}, reason: wider washer}\n", lower, upper+1)
	}
}

func bolt(b *strings.Builder, number, c, s int) {
	lower := 18 + (number+c)%6
	fmt.Fprintf(b, "      - id: s%d\n        kind: torque\n        name: {en: Bolt %d, de: Schraube %d}\n        unit: N.m\n        band: {lower: %d, upper: %d}\n        fastener: {thread: M8x1.25, property_class: \"8.8\", condition: dry, count: 4}\n", s, s, s, lower, lower+4)
}

func shims(b *strings.Builder, number int) {
	b.WriteString("    shims:\n      - id: stack\n        name: Shims\n        unit: mm\n        places: [{id: end, max_pieces: 2, per_mm: [{spec: s0, change: -1}]}]\n        ladder:\n")
	for i := range 12 {
		fmt.Fprintf(b, "          - {thickness: 1.%02d, tolerance: {lower: -0.02, upper: 0}, sku: SH-%d-%d}\n", 5*i, number, i)
	}
}

// Write puts families of the given number of specs each into a directory, from family 0 on.
func Write(dir string, families, specs, edition int) error {
	for i := range families {
		if err := os.WriteFile(filepath.Join(dir, Key(i)+".yaml"), Family(i, specs, edition), 0o600); err != nil {
			return err
		}
	}
	return nil
}
