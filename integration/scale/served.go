package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"endfloat/specdb/synthetic"
)

// clients is how many ask at once.
const clients = 4

// built is the service, in dir.
func built(dir string) (binary string, err error) {
	binary = filepath.Join(dir, "endfloat")
	build := exec.Command("go", "build", "-o", binary, "./api/cmd/endfloat")
	build.Dir, build.Stderr = filepath.Join("..", ".."), os.Stderr
	if err := build.Run(); err != nil {
		return "", fmt.Errorf("building the service: %w", err)
	}
	return binary, nil
}

// served measures look-ups over HTTP: of a small and of the big catalogue, and while one revision replaces another.
func served(binary, dir string, specs int, out io.Writer) error {
	file := filepath.Join(dir, "current.endfloat")
	if err := replace(filepath.Join(dir, "big.endfloat"), file); err != nil {
		return err
	}
	var times [2]lap
	for i, c := range []struct {
		file  string
		specs int
	}{{filepath.Join(dir, "small.endfloat"), 1000}, {file, specs}} {
		s, err := start(binary, "--catalogue", c.file)
		if err != nil {
			return err
		}
		if times[i], err = s.ask(c.specs, 3*time.Second, nil); err != nil {
			return errors.Join(err, s.end())
		}
		if i == 1 {
			err = s.swapped(dir, file, specs, out)
		}
		if err = errors.Join(err, s.end()); err != nil {
			return err
		}
	}
	fmt.Fprintf(out, "look-up over HTTP: median %v of 1,000 specs, %v of %d: ratio %.2f\n", times[0].at(0.5), times[1].at(0.5), specs,
		float64(times[1].at(0.5))/float64(times[0].at(0.5)))
	return nil
}

// service is a running one.
type service struct {
	cmd  *exec.Cmd
	base string
}

func start(binary string, args ...string) (*service, error) {
	s := &service{cmd: exec.Command(binary, append([]string{"--addr", "127.0.0.1:0", "--log-level", "error"}, args...)...)}
	said, err := s.cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	s.cmd.Stderr = os.Stderr
	if err := s.cmd.Start(); err != nil {
		return nil, err
	}
	line, err := bufio.NewReader(said).ReadString('\n')
	i := strings.Index(line, "http://")
	if err != nil || i < 0 {
		return nil, errors.Join(fmt.Errorf("it said %q", line), err, s.end())
	}
	s.base = strings.TrimSpace(line[i:])
	return s, nil
}

func (s *service) end() error {
	if err := s.cmd.Process.Signal(os.Interrupt); err != nil {
		return err
	}
	return s.cmd.Wait()
}

// lap is how long requests took.
type lap []time.Duration

// at is the time below which that share of the requests stayed.
func (l lap) at(share float64) time.Duration {
	if len(l) == 0 {
		return 0
	}
	slices.Sort(l)
	return l[min(int(share*float64(len(l))), len(l)-1)].Round(time.Microsecond)
}

// ask looks up specs at random for a while, or until done; an answer that is not 200 is an error.
func (s *service) ask(specs int, span time.Duration, done <-chan struct{}) (lap, error) {
	var all lap
	var fault error
	var lock sync.Mutex
	var wait sync.WaitGroup
	until := time.Now().Add(span)
	for c := range clients {
		wait.Go(func() {
			var own lap
			r := rand.New(rand.NewPCG(uint64(c), 7))
			one := &http.Client{Transport: &http.Transport{}, Timeout: 30 * time.Second}
			defer one.CloseIdleConnections()
			for time.Now().Before(until) && !ended(done) {
				n := r.IntN(specs)
				begun := time.Now()
				err := get(one, s.base+href(n))
				own = append(own, time.Since(begun))
				if err != nil {
					lock.Lock()
					fault = errors.Join(fault, err)
					lock.Unlock()
					break
				}
			}
			lock.Lock()
			all = append(all, own...)
			lock.Unlock()
		})
	}
	wait.Wait()
	return all, fault
}

func ended(done <-chan struct{}) bool {
	select {
	case <-done:
		return true
	default:
		return false
	}
}

func href(n int) string {
	parts := strings.Split(synthetic.SpecKey(n/perFamily, n%perFamily), "/")
	return "/v1/families/" + parts[0] + "/components/" + parts[1] + "/specs/" + parts[2]
}

func get(c *http.Client, url string) error {
	res, err := c.Get(url)
	if err != nil {
		return err
	}
	_, err = io.Copy(io.Discard, res.Body)
	if err = errors.Join(err, res.Body.Close()); err == nil && res.StatusCode != http.StatusOK {
		err = fmt.Errorf("%s: %s", url, res.Status)
	}
	return err
}

// swapped asks while the file changes and the service takes the next revision.
func (s *service) swapped(dir, file string, specs int, out io.Writer) error {
	return s.during(specs, out, "swap", func() error { return replace(filepath.Join(dir, "next.endfloat"), file) })
}

// during asks while change goes on and until another revision answers.
func (s *service) during(specs int, out io.Writer, name string, change func() error) error {
	calm, err := s.ask(specs, 3*time.Second, nil)
	if err != nil {
		return err
	}
	before, err := s.revision()
	if err != nil {
		return err
	}
	done := make(chan struct{})
	var failed error
	var took time.Duration
	go func() {
		defer close(done)
		begun := time.Now()
		if failed = change(); failed != nil {
			return
		}
		for now := before; now == before && failed == nil; {
			time.Sleep(50 * time.Millisecond)
			now, failed = s.revision()
		}
		took = time.Since(begun)
	}()
	busy, err := s.ask(specs, 5*time.Minute, done)
	<-done
	if err = errors.Join(err, failed); err != nil {
		return fmt.Errorf("during the %s: %w", name, err)
	}
	fmt.Fprintf(out, "%s under load: noticed and done after %.1f s, %d requests, none failed; p99 %v calm, %v meanwhile: ratio %.2f; p99.9 %v, %v\n", name, took.Seconds(), len(busy),
		calm.at(0.99), busy.at(0.99), float64(busy.at(0.99))/float64(calm.at(0.99)), calm.at(0.999), busy.at(0.999))
	return nil
}

func (s *service) revision() (string, error) {
	res, err := http.Head(s.base + href(0))
	if err != nil {
		return "", err
	}
	return res.Header.Get("Catalogue-Revision"), res.Body.Close()
}
