// Command scale measures catalogues of a million specs: checking, loading, memory, swapping, looking up and searching, and
// the same look-up in a database file; publishing through Redis, and a replica that follows. It is a module of its own, so that the database is no part of the service.
//
//	cd integration/scale && go run . --specs 1000000
//	cd integration/scale && go run . --specs 1000000 --only-redis    publishing and following alone
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"endfloat/specdb/authoring"
	"endfloat/specdb/synthetic"
)

// perFamily is how many specs a family has.
const perFamily = 100

func main() {
	specs := flag.Int("specs", 1_000_000, "how many specs, in families of 100")
	dir := flag.String("dir", "", "directory for the files, of which those that are there are taken as they are; a temporary one without it")
	onlyRedis := flag.Bool("only-redis", false, "leave out what is not Redis")
	child := flag.String("child", "", "")
	flag.Parse()
	var err error
	if *child != "" {
		err = measure(*child, *specs, os.Stdout)
	} else {
		err = run(*specs, *dir, *onlyRedis, os.Stdout)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "scale:", err)
		os.Exit(1)
	}
}

// run makes the files, checks and compiles them, and measures what is loaded in a process of its own.
func run(specs int, dir string, onlyRedis bool, out io.Writer) (err error) {
	if dir == "" {
		if dir, err = os.MkdirTemp("", "scale"); err != nil {
			return err
		}
		defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	}
	fmt.Fprintf(out, "%d specs in families of %d, %d processors\n", specs, perFamily, runtime.GOMAXPROCS(0))
	for _, size := range []struct {
		name  string
		specs int
	}{{"small", 1000}, {"big", specs}} {
		files := filepath.Join(dir, size.name)
		if err := os.MkdirAll(files, 0o755); err != nil {
			return err
		}
		if err := synthetic.Write(files, size.specs/perFamily, perFamily, 0); err != nil {
			return err
		}
		if size.name == "big" && !onlyRedis {
			begun := time.Now()
			if _, err := authoring.Check(out, files, authoring.Options{Progress: os.Stderr, Today: "2026-11-01"}); err != nil {
				return err
			}
			fmt.Fprintf(out, "check: %.1f s\n", time.Since(begun).Seconds())
		}
		if err := compile(files, filepath.Join(dir, size.name+".endfloat"), out); err != nil {
			return err
		}
	}
	// one family in a hundred changes
	if err := synthetic.Write(filepath.Join(dir, "big"), specs/perFamily/100, perFamily, 1); err != nil {
		return err
	}
	if err := compile(filepath.Join(dir, "big"), filepath.Join(dir, "next.endfloat"), out); err != nil {
		return err
	}
	binary, err := built(dir)
	if err != nil {
		return err
	}
	if onlyRedis {
		return shared(binary, dir, specs, out)
	}
	return errors.Join(again(dir, specs, out), served(binary, dir, specs, out), shared(binary, dir, specs, out))
}

// compile makes a snapshot, unless a run before left it there.
func compile(files, to string, out io.Writer) error {
	if info, err := os.Stat(to); err == nil {
		fmt.Fprintf(out, "%s was there: %.1f MB\n", filepath.Base(to), float64(info.Size())/1e6)
		return nil
	}
	begun := time.Now()
	if _, _, err := authoring.Compile(files, to); err != nil {
		return err
	}
	info, err := os.Stat(to)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "compile %s: %.1f s, %.1f MB\n", filepath.Base(to), time.Since(begun).Seconds(), float64(info.Size())/1e6)
	return nil
}
