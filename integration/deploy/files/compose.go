package main

import (
	"cmp"
	"context"
	"fmt"
	"net/netip"
	"regexp"
	"slices"
	"strings"

	"github.com/compose-spec/compose-go/v2/cli"
	"github.com/compose-spec/compose-go/v2/types"
)

// composeFile loads a compose file with all its profiles and looks at every service.
func composeFile(ctx context.Context, path string) (int, []error) {
	options, err := cli.NewProjectOptions([]string{path}, cli.WithProfiles([]string{"*"}), cli.WithInterpolation(true))
	if err != nil {
		return 0, []error{err}
	}
	project, err := options.LoadProject(ctx)
	if err != nil {
		return 0, []error{err}
	}
	var faults []error
	for _, name := range project.ServiceNames() {
		for _, f := range careless(project.Services[name]) {
			faults = append(faults, fmt.Errorf("%s: %s", name, f))
		}
	}
	return len(project.Services), append(faults, addresses(project)...)
}

// careless is what a service lacks.
func careless(s types.ServiceConfig) []string {
	var list []string
	lacks := func(missing bool, what string) {
		if missing {
			list = append(list, what)
		}
	}
	lacks(!s.ReadOnly, "its file system can be written")
	lacks(!slices.Equal(s.CapDrop, []string{"ALL"}) || len(s.CapAdd) > 0, "it has capabilities")
	lacks(!slices.Contains(s.SecurityOpt, "no-new-privileges:true"), "it may gain privileges")
	lacks(s.Privileged || s.NetworkMode == "host" || s.Pid == "host" || s.Ipc == "host", "it reaches into the host")
	uid, _, _ := strings.Cut(s.User, ":")
	lacks(uid == "" || uid == "0" || uid == "root", "it runs as root")
	lacks(s.Deploy == nil || s.Deploy.Resources.Limits == nil || s.Deploy.Resources.Limits.MemoryBytes == 0 || s.Deploy.Resources.Limits.NanoCPUs == 0 || s.Deploy.Resources.Limits.Pids == 0, "it has no limits")
	lacks(strings.HasSuffix(s.Image, ":latest") || !strings.Contains(s.Image, ":"), "its image is whichever comes: "+s.Image)
	if len(s.Profiles) == 0 { // what runs on
		lacks(s.HealthCheck == nil || s.HealthCheck.Disable || len(s.HealthCheck.Test) == 0, "nobody looks whether it works")
		lacks(s.Restart != types.RestartPolicyUnlessStopped, "it stays down")
	}
	for _, p := range s.Ports {
		lacks(p.HostIP != "127.0.0.1", "port "+p.Published+" is open to every network")
	}
	for name, value := range s.Environment {
		lacks(value != nil && strings.Contains(strings.ToLower(name), "password"), name+" is a secret that every process may read")
	}
	for _, path := range unmounted(s) {
		lacks(true, path+" is named and not mounted")
	}
	return list
}

// filePath is a file or directory that the value of a variable names.
var filePath = regexp.MustCompile(`(?:^|=)(/[^?&=]+)`)

// unmounted are the paths that the environment names and no volume or secret puts there.
func unmounted(s types.ServiceConfig) []string {
	var places []string
	for _, v := range s.Volumes {
		places = append(places, v.Target)
	}
	for _, secret := range s.Secrets {
		places = append(places, cmp.Or(secret.Target, "/run/secrets/"+secret.Source))
	}
	var list []string
	for _, value := range s.Environment {
		if value == nil {
			continue
		}
		for _, m := range filePath.FindAllStringSubmatch(*value, -1) {
			if !slices.ContainsFunc(places, func(place string) bool { return m[1] == place || strings.HasPrefix(m[1], place+"/") }) {
				list = append(list, m[1])
			}
		}
	}
	return list
}

// addresses are faults of addresses that must be the same in several places.
func addresses(p *types.Project) []error {
	var faults []error
	front := p.Services["nginx"].Networks["front"]
	if front == nil {
		return []error{fmt.Errorf("nginx has no fixed address")}
	}
	subnet, err := netip.ParsePrefix(p.Networks["front"].Ipam.Config[0].Subnet)
	if err != nil {
		return []error{err}
	}
	replicas := 0
	for _, name := range p.ServiceNames() {
		s := p.Services[name]
		if !strings.HasPrefix(name, "endfloat-") {
			continue
		}
		replicas++
		at := s.Networks["front"].Ipv4Address
		if ip, err := netip.ParseAddr(at); err != nil || !subnet.Contains(ip) {
			faults = append(faults, fmt.Errorf("%s: %q is no address of %s", name, at, subnet))
		}
		if told := p.Services["nginx"].ExtraHosts[name]; !slices.Equal(told, []string{at}) {
			faults = append(faults, fmt.Errorf("%s is at %s, and nginx is told %v", name, at, told))
		}
		if trusted := s.Environment["ENDFLOAT_TRUSTED_PROXIES"]; trusted == nil || *trusted != front.Ipv4Address {
			faults = append(faults, fmt.Errorf("%s does not believe nginx at %s", name, front.Ipv4Address))
		}
		if _, depends := p.Services["nginx"].DependsOn[name]; !depends {
			faults = append(faults, fmt.Errorf("nginx does not wait for %s", name))
		}
	}
	if replicas != 3 {
		faults = append(faults, fmt.Errorf("%d replicas", replicas))
	}
	if !p.Networks["back"].Internal {
		faults = append(faults, fmt.Errorf("the network of Redis has a way out"))
	}
	return faults
}
