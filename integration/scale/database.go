package main

import (
	"database/sql"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"

	_ "modernc.org/sqlite" // the driver

	"endfloat/service/catalogue"
	"endfloat/service/spec"
	"endfloat/specdb/synthetic"
)

// database does the look-up that a user's other way would do: one row of a table by its key.
func database(dir string, rev *catalogue.Revision, specs int, ours float64, out io.Writer) (err error) {
	name := filepath.Join(dir, "specs.sqlite")
	_ = os.Remove(name) // of a run before
	db, err := sql.Open("sqlite", name)
	if err != nil {
		return err
	}
	defer func() { _ = db.Close() }()
	db.SetMaxOpenConns(1)
	if _, err := db.Exec(`PRAGMA journal_mode=OFF; PRAGMA synchronous=OFF; CREATE TABLE specs(key TEXT PRIMARY KEY, variant TEXT, unit TEXT, lower TEXT, upper TEXT, target TEXT) WITHOUT ROWID`); err != nil {
		return err
	}
	if err := fill(db, rev); err != nil {
		return err
	}
	get, err := db.Prepare(`SELECT unit, lower, upper, target FROM specs WHERE key = ?`)
	if err != nil {
		return err
	}
	defer func() { _ = get.Close() }()
	const many = 50_000
	r := rand.New(rand.NewPCG(1, 2))
	begun := time.Now()
	for range many {
		n := r.IntN(specs)
		var unit, lower, upper, target string
		if err := get.QueryRow(synthetic.SpecKey(n/perFamily, n%perFamily)).Scan(&unit, &lower, &upper, &target); err != nil {
			return err
		}
	}
	theirs := float64(time.Since(begun).Nanoseconds()) / many
	fmt.Fprintf(out, "look-up in SQLite: %.0f ns, ours %.0f ns: %.1f times\n", theirs, ours, theirs/ours)
	return nil
}

func fill(db *sql.DB, rev *catalogue.Revision) error {
	tx, err := db.Begin()
	if err != nil {
		return err
	}
	put, err := tx.Prepare(`INSERT INTO specs VALUES(?,?,?,?,?,?)`)
	if err != nil {
		return err
	}
	for _, k := range rev.SpecKeys() {
		e, _ := rev.Entry(k)
		if err := insert(put, k, e.Base); err != nil {
			return err
		}
	}
	return tx.Commit()
}

func insert(put *sql.Stmt, k spec.Key, s *spec.Spec) error {
	_, err := put.Exec(string(k), "", string(s.Unit), s.Band.Lower.String(), s.Band.Upper.String(), s.Target.String())
	return err
}
