package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	apps "k8s.io/api/apps/v1"
	core "k8s.io/api/core/v1"
	networking "k8s.io/api/networking/v1"
	policy "k8s.io/api/policy/v1"
	meta "k8s.io/apimachinery/pkg/apis/meta/v1"
	"sigs.k8s.io/json"
	"sigs.k8s.io/yaml"
)

// kinds are the types into which documents are decoded, by apiVersion and kind.
func kinds() map[string]func() any {
	return map[string]func() any{
		"v1 Namespace":                                  func() any { return &core.Namespace{} },
		"v1 ConfigMap":                                  func() any { return &core.ConfigMap{} },
		"v1 Service":                                    func() any { return &core.Service{} },
		"apps/v1 Deployment":                            func() any { return &apps.Deployment{} },
		"apps/v1 StatefulSet":                           func() any { return &apps.StatefulSet{} },
		"policy/v1 PodDisruptionBudget":                 func() any { return &policy.PodDisruptionBudget{} },
		"networking.k8s.io/v1 NetworkPolicy":            func() any { return &networking.NetworkPolicy{} },
		"kustomize.config.k8s.io/v1beta1 Kustomization": func() any { return &kustomization{} },
	}
}

// kustomization is what we use of one.
type kustomization struct {
	meta.TypeMeta `json:",inline"`
	Namespace     string   `json:"namespace"`
	Resources     []string `json:"resources"`
	Images        []struct {
		Name   string `json:"name"`
		NewTag string `json:"newTag"`
	} `json:"images"`
}

// manifests decodes every document of a directory strictly, which a misspelt field does not survive, and looks at what
// they say together.
func manifests(_ context.Context, dir string) (int, []error) {
	names, err := filepath.Glob(filepath.Join(dir, "*.yaml"))
	if err != nil {
		return 0, []error{err}
	}
	var all []any
	var faults []error
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			return 0, []error{err}
		}
		for i, doc := range strings.Split(string(text), "\n---\n") {
			object, err := decode([]byte(doc))
			if err != nil {
				faults = append(faults, fmt.Errorf("%s, document %d: %w", filepath.Base(name), i+1, err))
				continue
			}
			all = append(all, object)
		}
	}
	return len(all), append(faults, together(all, names)...)
}

func decode(doc []byte) (any, error) {
	var head meta.TypeMeta
	if err := yaml.Unmarshal(doc, &head); err != nil {
		return nil, err
	}
	fresh, ok := kinds()[head.APIVersion+" "+head.Kind]
	if !ok {
		return nil, fmt.Errorf("of no kind that is known here: %s %s", head.APIVersion, head.Kind)
	}
	object := fresh()
	text, err := yaml.YAMLToJSONStrict(doc)
	if err != nil {
		return nil, err
	}
	// As the API server itself decodes: names are taken as they are written, letter for letter.
	strict, err := json.UnmarshalStrict(text, object)
	return object, errors.Join(append(strict, err)...)
}

// together are faults between documents.
func together(all []any, files []string) []error {
	var faults []error
	pods := map[string]core.PodTemplateSpec{}
	for _, object := range all {
		switch o := object.(type) {
		case *apps.Deployment:
			pods[o.Name] = o.Spec.Template
			faults = append(faults, selects(o.Name, o.Spec.Selector.MatchLabels, o.Spec.Template))
			if o.Spec.Replicas == nil || *o.Spec.Replicas < 3 || o.Spec.Strategy.RollingUpdate == nil || o.Spec.Strategy.RollingUpdate.MaxUnavailable.IntValue() != 0 {
				faults = append(faults, fmt.Errorf("%s: a rolling update takes a replica away before another one is there", o.Name))
			}
		case *apps.StatefulSet:
			pods[o.Name] = o.Spec.Template
			faults = append(faults, selects(o.Name, o.Spec.Selector.MatchLabels, o.Spec.Template))
		}
	}
	for name, pod := range pods {
		for _, f := range reckless(pod.Spec) {
			faults = append(faults, fmt.Errorf("%s: %s", name, f))
		}
	}
	for _, object := range all {
		switch o := object.(type) {
		case *core.Service:
			faults = append(faults, served(o, pods)...)
		case *policy.PodDisruptionBudget:
			faults = append(faults, selects(o.Name, o.Spec.Selector.MatchLabels, pods[o.Name]))
		case *kustomization:
			for _, file := range files {
				if base := filepath.Base(file); base != "kustomization.yaml" && !slices.Contains(o.Resources, base) {
					faults = append(faults, fmt.Errorf("kustomization.yaml does not name %s", base))
				}
			}
		}
	}
	return slices.DeleteFunc(faults, func(err error) bool { return err == nil })
}

// selects is a fault unless labels that are selected are those of the pods.
func selects(name string, selector map[string]string, pod core.PodTemplateSpec) error {
	if len(selector) == 0 {
		return fmt.Errorf("%s selects everything", name)
	}
	for k, v := range selector {
		if pod.Labels[k] != v {
			return fmt.Errorf("%s selects %s=%s, and the pods say %q", name, k, v, pod.Labels[k])
		}
	}
	return nil
}

// served are the ports of a service that no container has.
func served(s *core.Service, pods map[string]core.PodTemplateSpec) []error {
	pod, ok := pods[s.Spec.Selector["app.kubernetes.io/name"]]
	if !ok {
		return []error{fmt.Errorf("service %s selects no pods", s.Name)}
	}
	var faults []error
	for _, p := range s.Spec.Ports {
		if !slices.ContainsFunc(pod.Spec.Containers[0].Ports, func(c core.ContainerPort) bool { return c.Name == p.TargetPort.StrVal }) {
			faults = append(faults, fmt.Errorf("service %s: no container has a port %q", s.Name, p.TargetPort.StrVal))
		}
	}
	return faults
}

// reckless is what a pod lacks: the restricted standard of pod security, and what keeps one pod from hurting others.
func reckless(pod core.PodSpec) []string {
	var list []string
	lacks := func(missing bool, what string) {
		if missing {
			list = append(list, what)
		}
	}
	is := func(b *bool, want bool) bool { return b != nil && *b == want }
	own := pod.SecurityContext
	lacks(own == nil || !is(own.RunAsNonRoot, true) || own.SeccompProfile == nil || own.SeccompProfile.Type != core.SeccompProfileTypeRuntimeDefault, "the pod may run as root or without seccomp")
	lacks(!is(pod.AutomountServiceAccountToken, false), "it holds a token of the cluster")
	lacks(pod.HostNetwork || pod.HostPID || pod.HostIPC, "it reaches into the node")
	lacks(pod.TerminationGracePeriodSeconds == nil, "nobody said how long it may drain")
	for _, c := range pod.Containers {
		s := c.SecurityContext
		lacks(s == nil || !is(s.AllowPrivilegeEscalation, false) || !is(s.ReadOnlyRootFilesystem, true) || !is(s.RunAsNonRoot, true) || s.Capabilities == nil || !slices.Contains(s.Capabilities.Drop, "ALL") || len(s.Capabilities.Add) > 0, c.Name+": more than it needs is allowed")
		lacks(c.Resources.Limits.Memory().IsZero() || c.Resources.Limits.Cpu().IsZero() || c.Resources.Requests.Memory().IsZero() || c.Resources.Requests.Cpu().IsZero(), c.Name+": no limits")
		lacks(c.ReadinessProbe == nil || c.LivenessProbe == nil, c.Name+": no probes")
		for _, m := range c.VolumeMounts {
			lacks(!slices.ContainsFunc(pod.Volumes, func(v core.Volume) bool { return v.Name == m.Name }) && m.Name != "data", c.Name+": no volume "+m.Name)
		}
		for _, p := range []*core.Probe{c.ReadinessProbe, c.LivenessProbe, c.StartupProbe} {
			if p != nil && p.HTTPGet != nil {
				lacks(!slices.ContainsFunc(c.Ports, func(port core.ContainerPort) bool { return port.Name == p.HTTPGet.Port.StrVal }), c.Name+": a probe asks a port that is not there")
			}
		}
	}
	return list
}
