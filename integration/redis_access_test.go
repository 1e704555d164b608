//go:build integration

package integration_test

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/redis/go-redis/v9"
)

// users are the lines of an access list as DEVELOPERS.md has them, each with its password in place.
func users(t *testing.T) map[string]string {
	t.Helper()
	text, err := os.ReadFile("../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	lines := map[string]string{}
	for _, m := range regexp.MustCompile(`(?m)^user (endfloat-[a-z]+) .*>PASSWORD .*$`).FindAllStringSubmatch(string(text), -1) {
		lines[m[1]] = strings.Replace(m[0], ">PASSWORD", ">"+m[1]+"-password", 1)
	}
	if len(lines) != 2 {
		t.Fatalf("there are %d lines of users", len(lines))
	}
	return lines
}

// as is the address of a Redis for one of the users.
func as(user, addr string) string { return "redis://" + user + ":" + user + "-password@" + addr }

// accessList writes a file with the documented users, each with more rights where they are given, and one for the test.
func accessList(t *testing.T, more string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "users.acl")
	all := users(t)
	text := "user default on nopass ~* &* +@all\n" + all["endfloat-reader"] + more + "\n" + all["endfloat-publisher"] + more + "\n"
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// refused fails the test for every command, key and channel that Redis noted as refused.
func refused(t *testing.T, r *redisd) {
	t.Helper()
	for _, e := range r.desk(t).ACLLog(t.Context(), 100).Val() {
		t.Errorf("refused: %s %s to %s", e.Reason, e.Object, e.Username)
	}
}

// The documented users do their own work: everything that follows, publishes, drops and rolls back.
func TestTheDocumentedUsersDoTheirWork(t *testing.T) {
	t.Parallel()
	r := newRedis(t, "--aclfile", accessList(t, ""))
	reader, publisher := as("endfloat-reader", r.addr), as("endfloat-publisher", r.addr)
	file := filepath.Join(t.TempDir(), "password")
	if err := os.WriteFile(file, []byte("endfloat-reader-password\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	first := publishes(t, publisher, shop(t, "0.40"), "--keep", "1")
	// Quotas have commands of their own, and are switched off here.
	s := follower(t, "redis://endfloat-reader@"+r.addr+"?password_file="+file, "--quota", "off", "--key-quota", "off")
	s.serves(t, "0.40")
	s.warnsOf(t, "")
	for _, upper := range []string{"0.39", "0.38", "0.37"} {
		publishes(t, publisher, shop(t, upper), "--keep", "1")
		s.serves(t, upper)
	}
	if code, _, diag := run(t, nil, "catalogue", "rollback", "--redis", publisher); code != 0 {
		t.Errorf("%s", diag)
	}
	s.serves(t, "0.38")
	code, out, diag := run(t, nil, "catalogue", "revisions", "--redis", publisher)
	if code != 0 || strings.Contains(out, first) || !strings.Contains(out, "replica ") {
		t.Errorf("%d %s%s", code, out, diag)
	}
	refused(t, r)
	if code, _, diag := run(t, nil, "catalogue", "publish", shop(t, "0.30"), "--redis", reader); code != 2 || !strings.Contains(diag, "NOPERM") {
		t.Errorf("a reader publishes: %d %s", code, diag)
	}
	s.serves(t, "0.38")
}

func TestTheDocumentedUsersCanDoNothingElse(t *testing.T) {
	t.Parallel()
	r := newRedis(t, "--aclfile", accessList(t, ""))
	ctx := t.Context()
	client := func(user string) *redis.Client {
		c := redis.NewClient(&redis.Options{Addr: r.addr, Username: user, Password: user + "-password"})
		t.Cleanup(func() { _ = c.Close() })
		return c
	}
	reader, publisher := client("endfloat-reader"), client("endfloat-publisher")
	for name, err := range map[string]error{
		"reader writes the pointer":  reader.Set(ctx, "{endfloat}:current", "x", 0).Err(),
		"reader drops a blob":        reader.Del(ctx, "{endfloat}:blob:x").Err(),
		"reader runs a script":       reader.Eval(ctx, "return 1", nil).Err(),
		"reader reads another key":   reader.GetRange(ctx, "orders", 0, 1).Err(),
		"reader hints":               reader.Publish(ctx, "{endfloat}:hint", "x").Err(),
		"reader lists keys":          reader.Keys(ctx, "*").Err(),
		"publisher writes another":   publisher.Set(ctx, "orders", "x", 0).Err(),
		"publisher reaches further":  publisher.Eval(ctx, "return redis.call('SET', 'orders', 'x')", nil).Err(),
		"publisher empties it":       publisher.FlushAll(ctx).Err(),
		"publisher sets it up":       publisher.ConfigSet(ctx, "maxmemory", "1").Err(),
		"publisher speaks elsewhere": publisher.Publish(ctx, "orders", "x").Err(),
	} {
		if err == nil || !strings.Contains(err.Error(), "NOPERM") && !strings.Contains(err.Error(), "can't access at least one of the keys") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// certificates makes an authority and a certificate of it for 127.0.0.1.
func certificates(t *testing.T) (ca, cert, key string) {
	t.Helper()
	dir := t.TempDir()
	write := func(name, kind string, der []byte, err error) string {
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(dir, name)
		if err := os.WriteFile(file, pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: der}), 0o600); err != nil {
			t.Fatal(err)
		}
		return file
	}
	pair := func() *ecdsa.PrivateKey {
		k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
		if err != nil {
			t.Fatal(err)
		}
		return k
	}
	from, to := time.Now().Add(-time.Hour), time.Now().Add(24*time.Hour)
	top, own := pair(), pair()
	root := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "test authority"}, NotBefore: from, NotAfter: to,
		IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageCertSign}
	leaf := &x509.Certificate{SerialNumber: big.NewInt(2), Subject: pkix.Name{CommonName: "redis"}, NotBefore: from, NotAfter: to,
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, DNSNames: []string{"redis.example"}, KeyUsage: x509.KeyUsageDigitalSignature,
		ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth, x509.ExtKeyUsageClientAuth}}
	der, err := x509.CreateCertificate(rand.Reader, root, root, &top.PublicKey, top)
	ca = write("ca.pem", "CERTIFICATE", der, err)
	der, err = x509.CreateCertificate(rand.Reader, leaf, root, &own.PublicKey, top)
	cert = write("cert.pem", "CERTIFICATE", der, err)
	der, err = x509.MarshalPKCS8PrivateKey(own)
	return ca, cert, write("key.pem", "PRIVATE KEY", der, err)
}

// TLS with the authority named and a certificate shown; without either there is no connection, and an answer all the same.
func TestFollowsOverTLS(t *testing.T) {
	t.Parallel()
	ca, cert, key := certificates(t)
	other, _, _ := certificates(t)
	port := freePort(t)
	r := newRedis(t, "--tls-port", port, "--tls-cert-file", cert, "--tls-key-file", key, "--tls-ca-cert-file", ca, "--tls-auth-clients", "yes")
	base := "rediss://127.0.0.1:" + port + "?tls_cert=" + cert + "&tls_key=" + key
	url := base + "&tls_ca=" + ca
	publishes(t, url, shop(t, "0.40"))
	s := follower(t, url)
	s.serves(t, "0.40")
	s.warnsOf(t, "")
	publishes(t, url, shop(t, "0.35"))
	s.serves(t, "0.35")
	if code, _, diag := run(t, nil, "catalogue", "revisions", "--redis", url+"&tls_server_name=redis.example"); code != 0 {
		t.Errorf("under its other name: %s", diag)
	}
	for name, wrong := range map[string]string{
		"an authority of others": base + "&tls_ca=" + other, "no authority": base, "no certificate of one's own": "rediss://127.0.0.1:" + port + "?tls_ca=" + ca,
		"a name of others": url + "&tls_server_name=else.example", "plain": "redis://127.0.0.1:" + port, "TLS where there is none": "rediss://" + r.addr + "?tls_ca=" + ca,
	} {
		if code, _, diag := run(t, nil, "catalogue", "revisions", "--redis", wrong); code != 2 {
			t.Errorf("%s: %d %s", name, code, diag)
		}
	}
	follower(t, base+"&tls_ca="+other).warnsOf(t, "certificate")
}
