// Command files looks at how the service is deployed without deploying it: nothing that runs containers is needed.
//
//	cd integration/deploy && go run ./files ../../docker
//
// It decides three things. The compose file loads as Compose itself loads it (compose-go), and every container of it is
// careful: read-only, without capabilities or new privileges, not root, limited and probed. The Dockerfile is parsed and
// linted by BuildKit's own linter. Every Kubernetes manifest decodes strictly into the types of the API that it names,
// and what they say fits together: ports that are named are there, labels that are selected are set. It refuses to know
// whether images exist and whether a cluster admits what it is given: that takes an engine and a cluster.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: files DIRECTORY")
		os.Exit(2)
	}
	if err := run(context.Background(), os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(ctx context.Context, dir string) error {
	var all []error
	for _, look := range []struct {
		what string
		at   func(context.Context, string) (int, []error)
		path string
	}{
		{"services", composeFile, "compose.yaml"},
		{"stages", dockerfile, "Dockerfile"},
		{"manifests", manifests, "kubernetes"},
	} {
		n, faults := look.at(ctx, filepath.Join(dir, look.path))
		for _, f := range faults {
			all = append(all, fmt.Errorf("%s: %w", look.path, f))
		}
		if n == 0 {
			all = append(all, fmt.Errorf("%s: no %s: nothing was looked at", look.path, look.what))
		}
		fmt.Printf("%s: %d %s, %d faults\n", look.path, n, look.what, len(faults))
	}
	return errors.Join(all...)
}
