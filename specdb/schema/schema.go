// Package schema writes the JSON Schema (2020-12) of the files of a catalogue, so that an editor completes and checks
// them while they are written.
//
// It decides nothing: it follows the shapes by which files are read. What needs more than one value (lower over upper, a
// dangling reference) only the check of the catalogue can say.
//
//	text, err := schema.Family()
package schema

import (
	"encoding/json"

	"endfloat/service/spec"
	"endfloat/specdb/yamlfile"
)

// Family is the schema of a family file.
func Family() ([]byte, error) { return of(yamlfile.FamilyShape(), "A family of engines") }

// Head is the schema of catalogue.yaml.
func Head() ([]byte, error) { return of(yamlfile.HeadShape(), "What is not of one family") }

// object is a JSON object; encoding/json sorts its keys, so that the text is always the same.
type object = map[string]any

func of(s *yamlfile.Shape, title string) ([]byte, error) {
	defs := object{}
	root := shape(s, defs)
	root["$schema"], root["title"] = "https://json-schema.org/draft/2020-12/schema", title
	root["$defs"] = defs
	text, err := json.MarshalIndent(root, "", "  ")
	return append(text, '\n'), err
}

// shape is a mapping; the shapes that it holds become definitions.
func shape(s *yamlfile.Shape, defs object) object {
	properties, required := object{}, []string{}
	for i := range s.Fields {
		f := &s.Fields[i]
		properties[f.Key] = field(f, defs)
		if f.Need {
			required = append(required, f.Key)
		}
	}
	o := object{"type": "object", "properties": properties, "additionalProperties": false}
	if len(required) > 0 {
		o["required"] = required
	}
	return o
}

func field(f *yamlfile.Field, defs object) object {
	o := element(f, defs)
	if f.List {
		o = object{"type": "array", "items": o}
	}
	if f.About != "" {
		o["description"] = f.About
	}
	return o
}

func element(f *yamlfile.Field, defs object) object {
	switch f.Type {
	case yamlfile.Mapping:
		if _, known := defs[f.Of.Name]; !known {
			defs[f.Of.Name] = object{} // before what it holds, which may hold it again
			defs[f.Of.Name] = shape(f.Of, defs)
		}
		return object{"$ref": "#/$defs/" + f.Of.Name}
	case yamlfile.Number:
		return object{"type": "number"}
	case yamlfile.Whole:
		return object{"type": "integer", "minimum": f.Least, "maximum": f.Most}
	case yamlfile.YesNo:
		return object{"type": "boolean"}
	case yamlfile.Word:
		return object{"enum": f.Words}
	case yamlfile.Slug:
		return object{"type": "string", "pattern": "^[a-z0-9]+(-[a-z0-9]+)*$", "maxLength": 64}
	case yamlfile.Code:
		return object{"type": "string", "pattern": "^[a-z0-9_]+$", "maxLength": 64}
	case yamlfile.SKU:
		return object{"type": "string", "pattern": "^[A-Za-z0-9._-]{1,64}$"}
	case yamlfile.Date:
		return object{"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}
	case yamlfile.Unit:
		return object{"type": "string", "examples": []string{"mm", "um", "in", "thou", "N.m", "lbf.ft", "lbf.in", "kgf.m", "kgf.cm", "deg", "N", "kPa"}}
	case yamlfile.Names:
		return names(defs)
	}
	return object{"type": []string{"string", "number"}, "maxLength": 500}
}

// names is a text in English, or in several languages.
func names(defs object) object {
	if _, known := defs["names"]; !known {
		languages := object{}
		for _, l := range spec.Languages {
			languages[l] = object{"type": "string", "maxLength": 500}
		}
		defs["names"] = object{"type": []string{"string", "number", "object"}, "maxLength": 500, "properties": languages,
			"required": []string{spec.Languages[0]}, "additionalProperties": false}
	}
	return object{"$ref": "#/$defs/names"}
}
