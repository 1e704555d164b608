package main

import "endfloat/specdb/redislink"

// cataloguePages are what endfloat catalogue VERB --help prints, by verb.
func cataloguePages() map[string]string {
	return map[string]string{"check": checkHelp, "show": showHelp, "diff": diffHelp, "export": exportHelp, "import": importHelp,
		"new-family": newFamilyHelp, "schema": schemaHelp, "compile": compileHelp,
		"publish": publishHelp, "rollback": rollbackHelp, "revisions": revisionsHelp}
}

const checkHelp = `endfloat catalogue check DIR reads a catalogue and prints every fault and finding, with file, line and remedy.

    --today DATE    date by which reviews are overdue; left out: today
    --strict        warnings fail as well

  endfloat catalogue check shop
  endfloat catalogue check shop --strict --today 2027-01-31

Exit codes: 0 good, 1 something is wrong with the catalogue, 2 it could not be read.
`

const showHelp = `endfloat catalogue show [DIR] KEY prints what the files say of a family, component, spec, shim set or part number.
DIR left out is ENDFLOAT_CATALOGUE, else the demo that is built in.

  endfloat catalogue show shop my-220/counter-shaft/axial-play
  endfloat catalogue show PL-SH-110
`

const diffHelp = `endfloat catalogue diff A B prints what changed from A to B, each a directory or a compiled file.

    --family KEY    this family alone

  endfloat catalogue diff shop-2026 shop --family my-220
`

const exportHelp = `endfloat catalogue export [DIR] FAMILY writes a family as a table that endfloat catalogue import reads back without loss.
DIR left out is ENDFLOAT_CATALOGUE, else the demo that is built in.

    --out FILE      file to write; left out: standard output
    --format WORD   csv or xlsx; left out: xlsx where FILE ends in .xlsx, else csv

  endfloat catalogue export shop my-220 > my-220.csv
  endfloat catalogue export shop my-220 --out my-220.xlsx
`

const importHelp = `endfloat catalogue import FILE reads a table, CSV or XLSX (by its ending), as the file of one family.

    --into DIR      write DIR/FAMILY.yaml, checked against the rest of that catalogue; left out: the file is only printed
    --force         replace the file of the family

One row is one record, and the column "record" says what it is:
  family, variant, component, spec, override, shims, place, rung, shim_override, part
A row belongs to the nearest row above it that may own it: a spec to its component, a rung to its shims. Every other column
is a key of the files, joined by dots (FORMAT.md has all; endfloat catalogue schema prints them):
  id, kind, name (or name.en, name.de …), unit, band.lower, band.upper, target, wear_limit.upper, fastener.thread …
The row of the family has family, name, source.class, source.title, source.locator and source.reviewed.
An empty cell is absent. Words of a list are joined by "; ". A CSV is UTF-8, with commas, semicolons or tabs. Formulas, merged
cells, blank rows and columns that no record has are faults, each named by row and column. What export writes is the best
table to begin with:

  endfloat catalogue new-family my-220 > shop/my-220.yaml
  endfloat catalogue export shop my-220 > my-220.csv
  endfloat catalogue import my-220.csv --into shop --force

Exit codes: 0 done, 1 the table has faults, 2 it could not be read or written.
`

const newFamilyHelp = `endfloat catalogue new-family KEY prints a family file to begin with.

  endfloat catalogue new-family my-220 > shop/my-220.yaml
`

const schemaHelp = `endfloat catalogue schema prints the JSON Schema of family files, for editors.

    --head          that of catalogue.yaml

  endfloat catalogue schema > family.schema.json
`

const compileHelp = `endfloat catalogue compile DIR [FILE] writes the fast, published form of a catalogue; FILE left out is
named after the revision.
--catalogue, publish and diff read it as they read a directory.

  endfloat catalogue compile shop shop.endfloat
`

const withRedis = `
    --redis URL           where the catalogue is shared (ENDFLOAT_REDIS)
    --publisher-key KEY   Ed25519 key as PEM or JWK, or its file (ENDFLOAT_PUBLISHER_KEY)`

const publishHelp = `endfloat catalogue publish DIR checks a catalogue and puts it in use on every replica; DIR may be a compiled file.
` + withRedis + `: the private key signs
    --wait 30s            how long to wait for replicas to have it ready; 0s: not at all
    --keep 10             how many revisions stay in Redis
    --unsigned            may replace a signed revision without a key

  endfloat catalogue publish shop --redis redis://127.0.0.1 --publisher-key publisher.pem

` + redislink.Help + `
Exit codes: 0 it is in use, 1 something is wrong with the catalogue, 2 it could not be done.
`

const rollbackHelp = `endfloat catalogue rollback [REVISION] puts an earlier revision in use again; REVISION left out is the one before.
` + withRedis + `: it must have signed the revision
    --wait 30s            how long to wait for replicas to have it ready; 0s: not at all

  endfloat catalogue rollback --redis redis://127.0.0.1

` + redislink.Help

const revisionsHelp = `endfloat catalogue revisions prints what is published, and which replica serves what.
` + withRedis + `

  endfloat catalogue revisions --redis redis://127.0.0.1

` + redislink.Help
