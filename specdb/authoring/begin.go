package authoring

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"endfloat/specdb"
	"endfloat/specdb/schema"
	"endfloat/specdb/snapshot"
	"endfloat/specdb/whole"
	"endfloat/specdb/yamlfile"
)

// NewFamily writes a family file to begin with: it loads as it is, and its comments say what goes where.
func NewFamily(w io.Writer, key, today string) error {
	if today == "" {
		today = time.Now().Format(time.DateOnly)
	}
	text := strings.NewReplacer("KEY", key, "TODAY", today).Replace(beginning)
	root, err := yamlfile.Document(key, []byte(text))
	if err != nil {
		return err
	}
	defaults, err := specdb.Defaults()
	if err != nil {
		return err
	}
	if _, faults := yamlfile.ReadNode(key, root, defaults, nil); len(faults) > 0 {
		return fmt.Errorf("%q is no key for a family: %s; %s", key, faults[0].Detail, faults[0].Remedy)
	}
	_, err = io.WriteString(w, text)
	return err
}

const beginning = `family: KEY                  # part of every address; never change it once it is used
name: KEY                    # or {en: …, de: …, fr: …, it: …, es: …}
# maker: …
source: {class: maker, title: "Workshop manual", locator: "edition, page", reviewed: TODAY}
# variants:
#   - {id: a, name: First run, feature: "what tells it apart by eye", ranges: [{prefix: AB, from: 1, to: 4999}]}
#   - {id: b, ranges: [{prefix: AB, from: 5000}]}     # leave to out where the run is open
components:                  # in the order in which they are assembled
  - id: example
    name: Example            # replace it by the first component
    specs:
      - id: play
        kind: dimension
        name: Axial play
        unit: mm             # as published
        band: {lower: 0.10, upper: 0.40}
        target: 0.10
        target_policy: not_below
        # wear_limit: {upper: 0.50}
        points: {minimum: 3, combine: mean, against_lower: min, against_upper: max}
        state: cold, dry
      - id: bolt
        kind: torque
        name: Bolt
        unit: N.m
        value_form: not_published      # range, single, stages, torque_angle, not_published, out_of_scope
        fastener: {thread: M8x1.25, hand: right, property_class: "8.8", condition: dry, count: 1}
`

// Schema writes the JSON Schema of family files, or of catalogue.yaml.
func Schema(w io.Writer, head bool) error {
	write := schema.Family
	if head {
		write = schema.Head
	}
	text, err := write()
	if err != nil {
		return err
	}
	_, err = w.Write(text)
	return err
}

// Compile reads a directory and writes the snapshot file; it returns the name of the revision. An empty file is that name
// in the working directory.
func Compile(dir, file string) (name, written string, err error) {
	content, err := specdb.ReadPath(dir, nil)
	if err != nil {
		return "", "", err
	}
	if file == "" {
		file = content.Name + snapshot.Suffix
	}
	in, err := os.OpenRoot(filepath.Dir(file))
	if err != nil {
		return "", "", err
	}
	defer func() { _ = in.Close() }() // the file is written by then
	err = whole.Write(in, filepath.Base(file), 0, func(w io.Writer) error { return snapshot.Write(w, content) })
	return content.Name, file, err
}
