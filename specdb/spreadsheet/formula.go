package spreadsheet

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"path"
	"strings"
)

// errNoSheet is a workbook without a first sheet where the standard says it is.
var errNoSheet = errors.New("the workbook has no sheet")

// formulas lists the cells of the first sheet that hold one, at most maxFaults of them, in one pass over its XML
// (ECMA-376 Part 1, 18.3.1.40): asking cell by cell would take the square of the time.
func formulas(data []byte) ([]string, error) {
	files, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, err
	}
	sheet, err := firstSheet(files)
	if err != nil {
		return nil, err
	}
	var cells []string
	cell := ""
	err = elements(files, sheet, func(e xml.StartElement) bool {
		switch e.Name.Local {
		case "c":
			cell = attribute(e, "r")
		case "f":
			cells = append(cells, cell)
		}
		return len(cells) < maxFaults
	})
	return cells, err
}

// firstSheet follows the relation of the first sheet of the workbook to its file.
func firstSheet(files *zip.Reader) (string, error) {
	id, target := "", ""
	if err := elements(files, "xl/workbook.xml", func(e xml.StartElement) bool {
		if e.Name.Local == "sheet" {
			id = attribute(e, "id")
		}
		return id == ""
	}); err != nil {
		return "", err
	}
	err := elements(files, "xl/_rels/workbook.xml.rels", func(e xml.StartElement) bool {
		if e.Name.Local == "Relationship" && attribute(e, "Id") == id {
			target = attribute(e, "Target")
		}
		return target == ""
	})
	switch {
	case err != nil:
		return "", err
	case target == "":
		return "", errNoSheet
	case strings.HasPrefix(target, "/"):
		return strings.TrimPrefix(path.Clean(target), "/"), nil
	}
	return path.Join("xl", target), nil
}

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// elements tells of every element that begins, until the end or until told says that it is enough.
func elements(files *zip.Reader, name string, told func(xml.StartElement) bool) error {
	f, err := files.Open(name)
	if err != nil {
		return err
	}
	defer func() { _ = f.Close() }() // only read
	dec := xml.NewDecoder(io.LimitReader(f, maxSheet))
	for {
		t, err := dec.RawToken()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if e, ok := t.(xml.StartElement); ok && !told(e) {
			return nil
		}
	}
}
