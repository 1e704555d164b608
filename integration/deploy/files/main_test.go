package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const docker = "../../../docker"

func TestTheFilesThatShip(t *testing.T) {
	t.Parallel()
	if err := run(t.Context(), docker); err != nil {
		t.Error(err)
	}
}

// Each row is a slip in a copy of the files; it must be found and named.
func TestSlipsAreFound(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, file, old, instead, says string }{
		{"compose: misspelt field", "compose.yaml", "read_only: true", "readonly: true", "readonly"},
		{"compose: file system that can be written", "compose.yaml", "read_only: true", "read_only: false", "can be written"},
		{"compose: privileges", "compose.yaml", "security_opt: [no-new-privileges:true]", "", "gain privileges"},
		{"compose: root", "compose.yaml", "user: 101:101", "user: 0:0", "root"},
		{"compose: every network", "compose.yaml", "127.0.0.1:${PORT:-8080}", "${PORT:-8080}", "every network"},
		{"compose: nginx is told another address", "compose.yaml", "endfloat-2=172.30.85.12", "endfloat-2=172.30.85.99", "endfloat-2"},
		{"compose: another proxy is believed", "compose.yaml", "PROXIES: 172.30.85.2 ", "PROXIES: 172.30.85.3 ", "believe"},
		{"compose: Redis with a way out", "compose.yaml", "internal: true", "internal: false", "way out"},
		{"compose: secret that is not there", "compose.yaml", "secrets: [redis-publisher, publisher-key]", "secrets: [redis-nobody]", "redis-nobody"},
		{"compose: key that is not mounted", "compose.yaml", "secrets: [redis-publisher, publisher-key]", "secrets: [redis-publisher]", "/run/secrets/publisher-key is named and not mounted"},
		{"compose: keys that are not mounted", "compose.yaml", `, "./secrets.d/endfloat:/etc/endfloat:ro"]`, "]", "/etc/endfloat/keys.json is named and not mounted"},
		{"Dockerfile: casing of one line", "Dockerfile", "FROM scratch", "from scratch", "Consistent"},
		{"Dockerfile: argument that nobody set", "Dockerfile", "ARG GO_IMAGE=golang:1.26-bookworm", "", "GO_IMAGE"},
		{"Dockerfile: root", "Dockerfile", "USER 65532:65532", "USER 0", "run by"},
		{"Dockerfile: secret", "Dockerfile", "ENV ENDFLOAT_ADDR=", "ENV AWS_SECRET_ACCESS_KEY=x ENDFLOAT_ADDR=", "Secret"},
		{"kubernetes: misspelt field", "kubernetes/deployment.yaml", "readOnlyRootFilesystem", "readOnlyRootFileSystem", "readOnlyRootFileSystem"},
		{"kubernetes: root", "kubernetes/deployment.yaml", "runAsNonRoot: true", "runAsNonRoot: false", "root"},
		{"kubernetes: wrong type", "kubernetes/deployment.yaml", "replicas: 3", "replicas: three", "document 1"},
		{"kubernetes: too few replicas", "kubernetes/deployment.yaml", "replicas: 3", "replicas: 1", "rolling"},
		{"kubernetes: probe of a port that is not there", "kubernetes/deployment.yaml", "path: /livez, port: private", "path: /livez, port: secret", "probe"},
		{"kubernetes: labels that nobody has", "kubernetes/disruption.yaml", "matchLabels: {app.kubernetes.io/name: endfloat}", "matchLabels: {app: endfloat}", "selects"},
		{"kubernetes: port that nobody has", "kubernetes/service.yaml", "targetPort: http", "targetPort: https", "https"},
		{"kubernetes: unknown kind", "kubernetes/service.yaml", "kind: Service", "kind: Servant", "Servant"},
		{"kubernetes: file that is left out", "kubernetes/kustomization.yaml", "  - disruption.yaml\n", "", "disruption.yaml"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			if err := os.CopyFS(dir, os.DirFS(docker)); err != nil {
				t.Fatal(err)
			}
			path := filepath.Join(dir, row.file)
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.Contains(string(text), row.old) {
				t.Fatalf("%s has no %q", row.file, row.old)
			}
			if err := os.WriteFile(path, []byte(strings.Replace(string(text), row.old, row.instead, 1)), 0o600); err != nil {
				t.Fatal(err)
			}
			if err := run(t.Context(), dir); err == nil || !strings.Contains(err.Error(), row.says) {
				t.Errorf("it says %v", err)
			}
		})
	}
}
