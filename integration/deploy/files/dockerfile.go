package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"

	"github.com/moby/buildkit/client/llb"
	"github.com/moby/buildkit/client/llb/sourceresolver"
	"github.com/moby/buildkit/frontend/dockerfile/dockerfile2llb"
	"github.com/moby/buildkit/frontend/dockerfile/parser"
	"github.com/moby/buildkit/frontend/dockerui"
	"github.com/opencontainers/go-digest"
	spec "github.com/opencontainers/image-spec/specs-go/v1"
)

// nowhere stands in for a registry: every image is there and says nothing about itself.
type nowhere struct{}

func (nowhere) ResolveImageConfig(_ context.Context, ref string, _ sourceresolver.Opt) (string, digest.Digest, []byte, error) {
	config, err := json.Marshal(spec.Image{Platform: spec.Platform{Architecture: "amd64", OS: "linux"}})
	return ref, digest.FromBytes(config), config, err
}

// dockerfile lints a Dockerfile as the builder itself does before it builds, and counts its stages.
func dockerfile(ctx context.Context, path string) (int, []error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return 0, []error{err}
	}
	targets, err := dockerfile2llb.ListTargets(ctx, text)
	if err != nil {
		return 0, []error{err}
	}
	source := llb.NewSourceMap(nil, path, "Dockerfile", text)
	source.Definition = &llb.Definition{}
	platform := spec.Platform{Architecture: "amd64", OS: "linux"}
	results, err := dockerfile2llb.DockerfileLint(ctx, text, dockerfile2llb.ConvertOpt{
		Config:         dockerui.Config{BuildPlatforms: []spec.Platform{platform}},
		TargetPlatform: &platform,
		MetaResolver:   nowhere{},
		SourceMap:      source,
	})
	if err != nil {
		return 0, []error{err}
	}
	var faults []error
	if results.Error != nil {
		faults = append(faults, fmt.Errorf("%s", results.Error.Message))
	}
	for _, w := range results.Warnings {
		faults = append(faults, fmt.Errorf("%s: %s", w.RuleName, w.Detail))
	}
	return len(targets.Targets), append(faults, user(text)...)
}

// user is a fault unless the last stage starts from nothing, is run by somebody who is not root, and is probed.
func user(text []byte) []error {
	file, err := parser.Parse(bytes.NewReader(text))
	if err != nil {
		return []error{err}
	}
	said := map[string]string{}
	for _, line := range file.AST.Children {
		if line.Value == "from" || line.Value == "FROM" {
			clear(said)
		}
		if line.Next != nil {
			said[line.Value] = line.Next.Value
		}
	}
	var faults []error
	if said["FROM"] != "scratch" || said["USER"] == "" || said["USER"] == "root" || said["USER"][0] == '0' || said["HEALTHCHECK"] == "" {
		faults = append(faults, fmt.Errorf("the last stage is from %q, run by %q, probed by %q", said["FROM"], said["USER"], said["HEALTHCHECK"]))
	}
	return faults
}
