package main

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"
	"time"
)

// probeHelp is what endfloat probe --help prints.
const probeHelp = `endfloat probe [HOST:PORT] asks whether the service of this machine is ready, and waits two seconds at most.

HOST:PORT left out is ENDFLOAT_ADDR, else the address that the service takes by itself (127.0.0.1:8080). It knows no flags.

  endfloat probe
  endfloat probe 127.0.0.1:9000
  HEALTHCHECK CMD ["/endfloat", "probe"]     in a Dockerfile

Exit codes: 0 it is ready, 1 it is not ready, away, or does not answer in time, 2 it could not be asked.
`

// probeTime is how long a probe waits for an answer.
const probeTime = 2 * time.Second

// exitNotReady is what a probe says of a service that is not ready, away, or does not answer in time.
const exitNotReady = 1

// probeCommand asks whether the service of this machine is ready to be asked. It is the health check of a container in
// which there is no other program: endfloat probe [HOST:PORT], by default the address that the service itself reads.
func probeCommand(ctx context.Context, args []string, env func(string) string, out, diag io.Writer) int {
	addr := env(variable("addr"))
	switch {
	case askedForHelp(args):
		fmt.Fprint(out, probeHelp)
		return exitDone
	case len(args) > 1 || len(args) == 1 && strings.HasPrefix(args[0], "-"):
		fmt.Fprintln(diag, "endfloat probe: want nothing or HOST:PORT; endfloat probe --help shows which")
		return exitCannot
	case len(args) == 1:
		addr = args[0]
	case addr == "":
		addr = presetAddr
	}
	if err := checkAddr(addr); err != nil {
		fmt.Fprintf(diag, "endfloat: probe: %v\n", err)
		return exitCannot
	}
	ctx, cancel := context.WithTimeout(ctx, probeTime)
	defer cancel()
	if err := probe(ctx, here(addr)); err != nil {
		fmt.Fprintf(diag, "endfloat: not ready: %v\n", err)
		return exitNotReady
	}
	fmt.Fprintln(out, "ready")
	return exitDone
}

// askedForHelp reports whether help stands first, or its flag anywhere, among the arguments of a command without flags.
func askedForHelp(args []string) bool {
	return len(args) > 0 && args[0] == "help" || slices.Contains(args, "--help") || slices.Contains(args, "-h")
}

func probe(ctx context.Context, addr string) error {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+addr+"/readyz", nil)
	if err != nil {
		return err
	}
	client := http.Client{Transport: &http.Transport{DisableKeepAlives: true}} // no proxy: it is the machine itself
	res, err := client.Do(req)
	if err != nil {
		return err
	}
	defer res.Body.Close()
	if res.StatusCode != http.StatusOK {
		return fmt.Errorf("it answers with %d", res.StatusCode)
	}
	return nil
}

// here is where a service that serves on an address is reached from its own machine: every address of the machine
// means loopback.
func here(addr string) string {
	host, port, err := net.SplitHostPort(addr)
	if err != nil {
		return addr
	}
	ip, err := netip.ParseAddr(host)
	switch {
	case host == "" || err == nil && ip.IsUnspecified() && ip.Is4():
		host = "127.0.0.1"
	case err == nil && ip.IsUnspecified():
		host = "::1"
	}
	return net.JoinHostPort(host, port)
}
