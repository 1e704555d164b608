package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"endfloat/api/client"
)

// judgeHelp is what endfloat judge --help prints.
const judgeHelp = `endfloat judge FILE.csv sends a table of readings to a running service, however long it is, and shows the verdicts in the
order of its rows. FILE - is standard input.

  --server URL        the service (http://127.0.0.1:8080)
                      ENDFLOAT_SERVER
  --key-file FILE     file with an API key; else the variable, and none is needed
                      ENDFLOAT_API_KEY
  -o FILE             write there; the file is there whole at the end, or not at all
  --output FORM       table (default on a terminal), csv (default elsewhere) or json
  --unit UNIT         of every row, for a table without a column of units
  --delimiter WORD    comma (default), semicolon or tab
  --decimal WORD      point (default) or comma
  --lang LANG         en, de, fr, it, es
  --revision NAME     judge by that revision of the catalogue; without it by the one in use when the work begins
  --rows N            rows in one request (2500; at most 10000)
  --in-flight N       requests at once (4; at most 32)
  --retry-for TIME    try a request again for so long while the service cannot be reached or is busy (2m0s; 0 tries once;
                      3s where it never answered and this is not given)
  --quiet             no progress and no counts

  endfloat judge readings.csv
  endfloat judge readings.csv -o verdicts.csv
  endfloat judge - --delimiter semicolon --decimal comma < readings.csv

The columns: id, spec, variant, engine_number, stage, part, how, unit, reading_1 to reading_8, instrument,
standard_uncertainty, accuracy, accuracy_percent, and a spec of your own in kind, spec_unit, lower, upper, target,
target_policy, wear_lower, wear_upper, plausible_lower, plausible_upper. A reading is 0.15, repeats 0.15 0.16, or blades
0.10:free 0.15:drag 0.20:forced.

Exit codes: 0 every row is a decided pass, 1 something failed or is undecided, 2 it could not be done.
`

// judging is one run of endfloat judge.
type judging struct {
	*remote
	table client.Table
	file  string // to write to; empty: standard output
	quiet bool
}

func newJudging(env func(string) string, out, diag io.Writer) *judging {
	j := &judging{remote: newRemote("endfloat judge", env, out, diag)}
	j.flags.StringVar(&j.file, "o", "", "")
	j.flags.StringVar(&j.unit, "unit", "", "")
	j.flags.StringVar(&j.table.Form.Delimiter, "delimiter", "", "")
	j.flags.StringVar(&j.table.Form.Decimal, "decimal", "", "")
	j.flags.StringVar(&j.table.Revision, "revision", "", "")
	j.flags.IntVar(&j.table.Rows, "rows", client.DefaultRows, "")
	j.flags.IntVar(&j.table.InFlight, "in-flight", client.DefaultInFlight, "")
	j.flags.BoolVar(&j.quiet, "quiet", false, "")
	return j
}

// judgeCommand runs endfloat judge FILE and says how it went as an exit code.
func judgeCommand(ctx context.Context, args []string, env func(string) string, out, diag io.Writer) int {
	j := newJudging(env, out, diag)
	words, err := readWords(j.flags, args)
	switch {
	case err != nil:
	case len(words) != 1:
		err = errors.New("want one FILE, or - for standard input; endfloat judge --help lists the flags")
	case j.table.Rows < 1 || j.table.Rows > client.MostRows:
		err = fmt.Errorf("--rows %d: want 1 to %d", j.table.Rows, client.MostRows)
	case j.table.InFlight < 1 || j.table.InFlight > client.MostInFlight:
		err = fmt.Errorf("--in-flight %d: want 1 to %d", j.table.InFlight, client.MostInFlight)
	default:
		j.choose()
		err = j.shows("table", "csv", "json")
	}
	if err != nil {
		return j.failed(err, judgeHelp)
	}
	all, err := j.run(ctx, words[0])
	switch {
	case err != nil:
		return j.failed(err, judgeHelp)
	case all.Passed():
		return exitDone
	}
	return exitFailed
}

// choose picks the form of the output where none was named.
func (j *judging) choose() {
	switch {
	case j.output != "":
	case strings.EqualFold(filepath.Ext(j.file), ".json"):
		j.output = "json"
	case j.file == "" && terminal(j.out):
		j.output = "table"
	default:
		j.output = "csv"
	}
}

func (j *judging) run(ctx context.Context, name string) (all client.Summary, err error) {
	c, err := j.client()
	if err != nil {
		return all, err
	}
	in, size := io.ReadCloser(os.Stdin), int64(0)
	if name != "-" {
		f, err := os.Open(filepath.Clean(name))
		if err != nil {
			return all, err
		}
		if st, err := f.Stat(); err == nil && st.Mode().IsRegular() {
			size = st.Size()
		}
		in = f
	}
	defer func() { _ = in.Close() }() // it is only read
	out, err := create(j.file, j.out)
	if err != nil {
		return all, err
	}
	defer func() { err = errors.Join(err, out.close(err == nil)) }()
	counted := &counter{in: in}
	seen := newProgress(j.diag, size, counted, !j.quiet && terminal(j.diag) && !(j.file == "" && terminal(j.out)))
	j.table.In, j.table.Lang, j.table.Progress, j.table.Unit = counted, j.lang, seen.show, j.unit
	j.table.Sink = j.sink(out)
	all, err = c.Judge(ctx, j.table)
	seen.end()
	if err == nil && !j.quiet {
		fmt.Fprintln(j.diag, all)
	}
	if err == nil && all.Rows == 0 {
		fmt.Fprintln(j.diag, "endfloat judge: the table has a first line and no rows: nothing was judged")
	}
	return all, err
}

func (j *judging) sink(out io.Writer) client.Sink {
	switch j.output {
	case "json":
		return client.JSON(out)
	case "table":
		return client.Text(out, j.table.Form, j.lang)
	}
	return client.CSV(out)
}
