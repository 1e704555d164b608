package reference

import (
	"fmt"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
)

// document is the part of an OpenAPI file (version 3.0.3) that is drawn.
type document struct {
	Info struct {
		Description string `json:"description"`
	} `json:"info"`
	Tags []struct {
		Name        string `json:"name"`
		Description string `json:"description"`
	} `json:"tags"`
	Paths      map[string]map[string]operation `json:"paths"`
	Components struct {
		Schemas    map[string]*schema   `json:"schemas"`
		Parameters map[string]parameter `json:"parameters"`
		Responses  map[string]response  `json:"responses"`
	} `json:"components"`
}

type operation struct {
	OperationID string                      `json:"operationId"`
	Summary     string                      `json:"summary"`
	Description string                      `json:"description"`
	Tags        []string                    `json:"tags"`
	Security    []map[string]jsontext.Value `json:"security"`
	Parameters  []parameter                 `json:"parameters"`
	RequestBody struct {
		Content map[string]content `json:"content"`
	} `json:"requestBody"`
	Responses map[string]response `json:"responses"`
}

type parameter struct {
	Ref         string         `json:"$ref"`
	Name        string         `json:"name"`
	In          string         `json:"in"`
	Description string         `json:"description"`
	Required    bool           `json:"required"`
	Schema      *schema        `json:"schema"`
	Example     jsontext.Value `json:"example"`
}

type response struct {
	Ref         string                    `json:"$ref"`
	Description string                    `json:"description"`
	Content     map[string]content        `json:"content"`
	Headers     map[string]jsontext.Value `json:"headers"`
}

type content struct {
	Schema  *schema        `json:"schema"`
	Example jsontext.Value `json:"example"`
}

type schema struct {
	Ref         string             `json:"$ref"`
	Type        string             `json:"type"`
	Description string             `json:"description"`
	Properties  map[string]*schema `json:"properties"`
	Required    []string           `json:"required"`
	Items       *schema            `json:"items"`
	Enum        []jsontext.Value   `json:"enum"`
	Example     jsontext.Value     `json:"example"`
	AllOf       []*schema          `json:"allOf"`
	MinItems    *int               `json:"minItems"`
	MaxItems    *int               `json:"maxItems"`
	MaxLength   *int               `json:"maxLength"`
	Minimum     jsontext.Value     `json:"minimum"`
	Maximum     jsontext.Value     `json:"maximum"`
	Pattern     string             `json:"pattern"`
}

// typeOf says how a value is written.
func typeOf(s *schema) Type {
	switch {
	case s == nil:
		return Type{}
	case s.Ref != "":
		return Type{Shape: last(s.Ref)}
	case len(s.AllOf) == 1:
		return typeOf(s.AllOf[0])
	case s.Type == "array":
		of := typeOf(s.Items)
		return Type{Before: strings.TrimSpace("list of " + of.Before), Shape: of.Shape}
	case s.Type == "string":
		return Type{Before: "text"}
	case s.Type == "integer":
		return Type{Before: "whole number"}
	}
	return Type{Before: s.Type}
}

// words are the only ones that a value, or an item of a list, may be.
func (s *schema) words() []jsontext.Value {
	if s.Items != nil && len(s.Enum) == 0 {
		return s.Items.Enum
	}
	return s.Enum
}

// bounds says how long or how large a value may be.
func (s *schema) bounds() string {
	var parts []string
	add := func(format string, v any) { parts = append(parts, fmt.Sprintf(format, v)) }
	if s.MinItems != nil && *s.MinItems > 0 {
		add("at least %d", *s.MinItems)
	}
	if s.MaxItems != nil {
		add("at most %d", *s.MaxItems)
	}
	if s.MaxLength != nil {
		add("at most %d characters", *s.MaxLength)
	}
	if s.Minimum != nil {
		add("from %s", s.Minimum)
	}
	if s.Maximum != nil {
		add("up to %s", s.Maximum)
	}
	if s.Pattern != "" {
		add("pattern %s", s.Pattern)
	}
	return strings.Join(parts, ", ")
}
