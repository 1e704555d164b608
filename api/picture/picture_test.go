package picture_test

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"endfloat/api/picture"
)

func wellFormed(svg []byte) error {
	d := xml.NewDecoder(strings.NewReader(string(svg)))
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
	}
}

func play() picture.Band {
	return picture.Band{Heading: "Axial play", Line: "inside", Lower: picture.At(0.10, "0.10 mm"), Upper: picture.At(0.40, "0.40 mm"),
		Aim: picture.At(0.10, "aim 0.10 mm"), WearUpper: picture.At(0.50, "wear limit 0.50 mm"), Notes: []string{"Wear eye protection."}}
}

func TestHostileTextIsInert(t *testing.T) {
	t.Parallel()
	b := play()
	b.Heading = `</title><script>alert("1")</script>`
	b.Lang, b.Line, b.Notes = `en" onload="x`, "a & b < c \x00\x08 \xff", []string{"]]> <!--"}
	svg := string(b.SVG())
	if err := wellFormed([]byte(svg)); err != nil {
		t.Fatalf("%v in %s", err, svg)
	}
	if strings.Contains(svg, "<script") || strings.Contains(svg, `onload="x"`) || strings.Contains(svg, "http") && strings.Count(svg, "http") != 1 {
		t.Errorf("%s", svg)
	}
}

// Limits in their order, the aim and the wear limit stand on one scale; the reading is a diamond.
func TestMarksStandInTheirOrder(t *testing.T) {
	t.Parallel()
	b := play()
	b.Reading, b.From, b.To, b.Proven = picture.At(0.30, ""), picture.At(0.28, ""), picture.At(0.32, ""), true
	svg := string(b.SVG())
	bar := regexp.MustCompile(`<rect x="([0-9.]+)" y="[0-9.]+" width="([0-9.]+)" height="20" fill="#2f6fb3"/>`).FindStringSubmatch(svg)
	worn := regexp.MustCompile(`<rect x="([0-9.]+)" y="[0-9.]+" width="([0-9.]+)" height="14" fill="url\(#worn\)"`).FindStringSubmatch(svg)
	diamond := regexp.MustCompile(`<path d="M([0-9.]+) [0-9.]+l8 8 -8 8 -8 -8z" fill="#a83c00"`).FindStringSubmatch(svg)
	if bar == nil || worn == nil || diamond == nil {
		t.Fatalf("%v %v %v in %s", bar, worn, diamond, svg)
	}
	number := func(s string) float64 { f, _ := strconv.ParseFloat(s, 64); return f }
	lower, upper := number(bar[1]), number(bar[1])+number(bar[2])
	per := (upper - lower) / 0.30
	if d := number(diamond[1]) - (lower + 0.20*per); d > 0.02 || d < -0.02 {
		t.Errorf("the reading is %v off", d)
	}
	if d := number(worn[1]) + number(worn[2]) - (upper + 0.10*per); d > 0.05 || d < -0.05 || number(worn[1]) < upper-0.05 {
		t.Errorf("the wear limit is %v off", d)
	}
}

func TestAReadingFarAwayIsAnArrow(t *testing.T) {
	t.Parallel()
	for value, shape := range map[float64]string{15: "l-12 -8v16z", -15: "l12 -8v16z"} {
		b := play()
		b.Reading = picture.At(value, "")
		if svg := string(b.SVG()); !strings.Contains(svg, shape) || strings.Contains(svg, "l8 8 -8 8") {
			t.Errorf("%v: %s", value, svg)
		}
	}
}

func TestASideWithoutALimitEndsInAnArrow(t *testing.T) {
	t.Parallel()
	top := picture.Band{Upper: picture.At(0.05, "0.05 mm")}
	bottom := picture.Band{Lower: picture.At(3, "3.0 mm"), WearLower: picture.At(2.8, "2.8 mm")}
	if svg := string(top.SVG()); !strings.Contains(svg, "l-7 6 7 6z") || strings.Contains(svg, "l7 6 -7 6z") {
		t.Errorf("%s", svg)
	}
	if svg := string(bottom.SVG()); !strings.Contains(svg, "l7 6 -7 6z") || strings.Contains(svg, "l-7 6 7 6z") {
		t.Errorf("%s", svg)
	}
	if svg := string(picture.Band{Heading: "Pattern", Line: "in order"}.SVG()); strings.Contains(svg, "<path d=\"M14") {
		t.Errorf("a scale without limits: %s", svg)
	}
}

// Labels that would lie over each other go a row lower.
func TestLabelsKeepApart(t *testing.T) {
	t.Parallel()
	b := picture.Band{Lower: picture.At(1, "1.00000000 mm"), Upper: picture.At(1.0001, "1.00010000 mm"), WearUpper: picture.At(9, "9 mm")}
	ys := regexp.MustCompile(`y="([0-9.]+)" font-size="11"`).FindAllStringSubmatch(string(b.SVG()), -1)
	if len(ys) != 3 || ys[0][1] == ys[1][1] || ys[0][1] != ys[2][1] {
		t.Errorf("%v", ys)
	}
}

func TestAnythingIsWellFormedAndBounded(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringN(0, 80, 300)
		mark := func(name string) picture.Mark {
			if rapid.Bool().Draw(t, name) {
				return picture.Mark{}
			}
			return picture.At(rapid.Float64Range(-1e9, 1e9).Draw(t, name+" value"), text.Draw(t, name+" label"))
		}
		b := picture.Band{Heading: text.Draw(t, "heading"), Line: text.Draw(t, "line"), Above: text.Draw(t, "above"), Description: text.Draw(t, "description"),
			Notes: []string{text.Draw(t, "note")}, Lower: mark("lower"), Upper: mark("upper"), Aim: mark("aim"), WearLower: mark("wear lower"),
			WearUpper: mark("wear upper"), Reading: mark("reading"), From: mark("from"), To: mark("to")}
		svg := b.SVG()
		if err := wellFormed(svg); err != nil {
			t.Fatalf("%v in %s", err, svg)
		}
		if s := string(svg); strings.Contains(s, "NaN") || strings.Contains(s, "Inf") || len(s) > 60000 {
			t.Fatalf("%d bytes: %s", len(s), s)
		}
	})
}

func ExampleBand_SVG() {
	svg := picture.Band{Heading: "Axial play", Lower: picture.At(0.08, "0.08 mm"), Upper: picture.At(0.35, "0.35 mm")}.SVG()
	fmt.Println(strings.HasPrefix(string(svg), "<svg "), strings.Contains(string(svg), "0.35 mm"))
	// Output: true true
}
