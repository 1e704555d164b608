package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strconv"
	"strings"
	"time"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
	"endfloat/specdb"
	"endfloat/specdb/synthetic"
)

// again runs this program as a child that has read nothing yet, so that its memory is that of the catalogue alone.
func again(dir string, specs int, out io.Writer) error {
	self, err := os.Executable()
	if err != nil {
		return err
	}
	c := exec.Command(self, "--child", dir, "--specs", strconv.Itoa(specs))
	c.Stdout, c.Stderr = out, os.Stderr
	return c.Run()
}

func measure(dir string, specs int, out io.Writer) error {
	file := filepath.Join(dir, "current.endfloat")
	if err := replace(filepath.Join(dir, "big.endfloat"), file); err != nil {
		return err
	}
	small, err := specdb.Open(filepath.Join(dir, "small.endfloat"), specdb.Options{})
	if err != nil {
		return err
	}
	begun := time.Now()
	big, err := specdb.Open(file, specdb.Options{})
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "load: %.2f s\n", time.Since(begun).Seconds())
	steady := settled()
	fmt.Fprintf(out, "memory: %.0f MiB held by the heap, %.0f MiB resident\n", heap(), steady)
	if err := swap(dir, file, big, steady, out); err != nil {
		return err
	}
	fast, slow := lookUps(small.Current(), 1000), lookUps(big.Current(), specs)
	fmt.Fprintf(out, "look-up in the process: %.0f ns of 1,000 specs, %.0f ns of %d: ratio %.2f\n", fast, slow, specs, slow/fast)
	search(big.Current(), out)
	return database(dir, big.Current(), specs, slow, out)
}

// swap puts the next revision in place of the one in use and shows how far memory rose meanwhile.
func swap(dir, file string, big *specdb.Store, steady float64, out io.Writer) error {
	if err := forgetPeak("self"); err != nil {
		return err
	}
	if err := replace(filepath.Join(dir, "next.endfloat"), file); err != nil {
		return err
	}
	begun := time.Now()
	changed, err := big.Reload()
	if err != nil || !changed {
		return errors.Join(err, errors.New("nothing was swapped"))
	}
	took := time.Since(begun)
	peak := status("VmHWM")
	fmt.Fprintf(out, "swap of 1 %% of the families: %.2f s, peak %.0f MiB, ratio %.2f; %.0f MiB after\n", took.Seconds(), peak, peak/steady, settled())
	return nil
}

// forgetPeak begins the peak of the memory of a process anew (proc(5)).
func forgetPeak(pid string) error {
	if err := os.WriteFile("/proc/"+pid+"/clear_refs", []byte("5"), 0o200); err != nil {
		return fmt.Errorf("the peak cannot be reset: %w", err)
	}
	return nil
}

func replace(from, to string) error {
	if err := os.Remove(to); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return os.Link(from, to)
}

// lookUps is the mean time of a look-up with its variant in nanoseconds, keys at random.
func lookUps(rev *catalogue.Revision, specs int) float64 {
	const many = 200_000
	keys := make([]spec.Key, many)
	r := rand.New(rand.NewPCG(1, 2))
	for i := range keys {
		n := r.IntN(specs)
		keys[i] = spec.Key(synthetic.SpecKey(n/perFamily, n%perFamily))
	}
	best := time.Duration(1 << 62)
	for range 5 {
		begun := time.Now()
		for _, k := range keys {
			e, ok := rev.Entry(k)
			if !ok || e.Resolve(catalogue.Selection{Variant: "b"}).Spec == nil {
				panic("not found: " + k)
			}
		}
		best = min(best, time.Since(begun))
	}
	return float64(best.Nanoseconds()) / many
}

func search(rev *catalogue.Revision, out io.Writer) {
	for _, q := range []string{"camshaft play", "camshaft play", "camshfat spiel 4", "syn-00042 bolt"} {
		begun := time.Now()
		hits := rev.FindSpecs(q)
		took := time.Since(begun)
		n := 0
		for i := range rev.SpecKeys() {
			if hits.Has(i) {
				n++
			}
		}
		fmt.Fprintf(out, "search %q: %.1f ms, %d found\n", q, took.Seconds()*1000, n)
	}
}

// settled is the resident memory in MiB once what is not needed is given back.
func settled() float64 {
	runtime.GC()
	debug.FreeOSMemory()
	return status("VmRSS")
}

func heap() float64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return float64(m.HeapAlloc) / (1 << 20)
}

// status reads a line of /proc/self/status in MiB.
func status(name string) float64 { return statusOf("self", name) }

// statusOf reads a line of the status of a process in MiB (proc(5)).
func statusOf(pid, name string) float64 {
	f, err := os.Open("/proc/" + pid + "/status")
	if err != nil {
		return 0
	}
	defer func() { _ = f.Close() }() // only read
	for s := bufio.NewScanner(f); s.Scan(); {
		if rest, ok := strings.CutPrefix(s.Text(), name+":"); ok {
			kib, _ := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSpace(rest), " kB"), 64)
			return kib / 1024
		}
	}
	return 0
}
