package queue

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/nats-io/nats-server/v2/server"
	"github.com/nats-io/nkeys"
)

func TestReadURL(t *testing.T) {
	t.Parallel()
	for url, want := range map[string]string{
		"":                         "is empty",
		"nats://u:secret@h:1":      "NATS_PASSWORD",
		"nats://secret@h:1":        "NATS_TOKEN",
		"http://h:1":               `begins with "http://"`,
		"nats://":                  "is none",
		"nats://h:x":               "is none",
		"h:4222":                   "",
		"nats://h:1,tls://[::1]:2": "",
	} {
		_, err := readURL(url)
		switch {
		case want == "" && err != nil:
			t.Errorf("%q: got %v; want none", url, err)
		case want != "" && (err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "secret")):
			t.Errorf("%q: got %v; want %q and no secret", url, err, want)
		}
	}
}

// made are the files and servers that the faults of a connection need.
type made struct {
	dir            string
	plain, user    *server.Server
	noJet, nkey    *server.Server
	tls, both, own *server.Server // own: with a certificate of another hand
}

func TestDialFaults(t *testing.T) {
	t.Parallel()
	m := makeServers(t)
	f := func(name string) string { return filepath.Join(m.dir, name) }
	for _, c := range []struct {
		what, url string
		env       map[string]string
		want      string // empty: connects
	}{
		{"nobody there", "nats://127.0.0.1:1", nil, "cannot be reached"},
		{"nothing asked", m.plain.ClientURL(), nil, ""},
		{"no proof", m.user.ClientURL(), nil, "refuses who we are"},
		{"wrong password", m.user.ClientURL(), map[string]string{"NATS_USER": "anna", "NATS_PASSWORD": "guess-secret"}, "refuses who we are"},
		{"password", m.user.ClientURL(), map[string]string{"NATS_USER": "anna", "NATS_PASSWORD": "right-secret"}, ""},
		{"user without JetStream", m.user.ClientURL(), map[string]string{"NATS_USER": "berta", "NATS_PASSWORD": "right-secret"}, "no JetStream"},
		{"no JetStream", m.noJet.ClientURL(), nil, "without JetStream"},
		{"nkey", m.nkey.ClientURL(), map[string]string{"NATS_NKEY": f("seed")}, ""},
		{"wrong nkey", m.nkey.ClientURL(), map[string]string{"NATS_NKEY": f("wrong")}, "refuses who we are"},
		{"no seed", m.nkey.ClientURL(), map[string]string{"NATS_NKEY": f("ca.pem")}, "NATS_NKEY"},
		{"no file", m.nkey.ClientURL(), map[string]string{"NATS_CREDS": f("none")}, "NATS_CREDS: cannot be read"},
		{"two ways", m.user.ClientURL(), map[string]string{"NATS_USER": "anna", "NATS_TOKEN": "secret"}, "all set"},
		{"password alone", m.user.ClientURL(), map[string]string{"NATS_PASSWORD": "secret"}, "without NATS_USER"},
		{"key alone", m.tls.ClientURL(), map[string]string{"NATS_KEY": f("key.pem")}, "only one"},
		{"TLS", m.tls.ClientURL(), map[string]string{"NATS_CA": f("ca.pem")}, ""},
		{"TLS, not trusted", m.tls.ClientURL(), nil, "not trusted"},
		{"TLS of another", m.own.ClientURL(), map[string]string{"NATS_CA": f("ca.pem")}, "not trusted"},
		{"TLS where there is none", m.plain.ClientURL(), map[string]string{"NATS_CA": f("ca.pem")}, "does not speak TLS"},
		{"no certificate", m.both.ClientURL(), map[string]string{"NATS_CA": f("ca.pem")}, "NATS_CERT"},
		{"certificate", m.both.ClientURL(), map[string]string{"NATS_CA": f("ca.pem"), "NATS_CERT": f("cert.pem"), "NATS_KEY": f("key.pem")}, ""},
	} {
		conn, err := dial(t.Context(), Options{URL: c.url}, func(name string) string { return c.env[name] })
		switch {
		case err == nil && c.want != "":
			t.Errorf("%s: connects; want %q", c.what, c.want)
		case err == nil:
			if _, err := conn.Studies(t.Context()); err != nil {
				t.Errorf("%s: %v", c.what, err)
			}
		case c.want == "" || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "secret"):
			t.Errorf("%s: got %v; want %q and no secret", c.what, err, c.want)
		}
		if conn != nil {
			conn.Close()
		}
	}
	ended, stop := context.WithCancel(t.Context())
	stop()
	if _, err := dial(ended, Options{URL: m.plain.ClientURL()}, noEnv); err == nil {
		t.Error("with an ended context: connects")
	}
	c := dialled(t, m.plain.ClientURL(), Options{Replicas: 3})
	if _, err := c.Lead(t.Context(), Study{ID: "s1", State: Open}); err == nil || !strings.Contains(err.Error(), "cannot keep 3 replicas") {
		t.Errorf("three replicas on one server: got %v", err)
	}
}

func makeServers(t *testing.T) made {
	t.Helper()
	m := made{dir: t.TempDir(), plain: jetServer(t), noJet: startServer(t, &server.Options{})}
	withJet, without := server.NewAccount("with"), server.NewAccount("without")
	m.user = startServer(t, &server.Options{JetStream: true, StoreDir: t.TempDir(), Accounts: []*server.Account{withJet, without}, Users: []*server.User{
		{Username: "anna", Password: "right-secret", Account: withJet}, {Username: "berta", Password: "right-secret", Account: without}}})
	kept, err := m.user.LookupAccount("with")
	must(t, err)
	must(t, kept.EnableJetStream(nil, nil))
	must(t, writeSeed(filepath.Join(m.dir, "wrong"), nil))
	var public string
	must(t, writeSeed(filepath.Join(m.dir, "seed"), &public))
	m.nkey = startServer(t, &server.Options{JetStream: true, StoreDir: t.TempDir(), Nkeys: []*server.NkeyUser{{Nkey: public}}})

	ca, other := newSigner(t), newSigner(t)
	ca.write(t, m.dir)
	pool := x509.NewCertPool()
	pool.AddCert(ca.cert)
	serve := func(s *signer, auth tls.ClientAuthType) *server.Server {
		return startServer(t, &server.Options{JetStream: true, StoreDir: t.TempDir(), TLS: true, TLSTimeout: 10,
			TLSConfig: &tls.Config{Certificates: []tls.Certificate{s.leaf(t)}, ClientCAs: pool, ClientAuth: auth, MinVersion: tls.VersionTLS12}})
	}
	m.tls, m.both, m.own = serve(ca, tls.NoClientCert), serve(ca, tls.RequireAndVerifyClientCert), serve(other, tls.NoClientCert)
	return m
}

func writeSeed(path string, public *string) error {
	pair, err := nkeys.CreateUser()
	if err != nil {
		return err
	}
	if public != nil {
		if *public, err = pair.PublicKey(); err != nil {
			return err
		}
	}
	seed, err := pair.Seed()
	if err != nil {
		return err
	}
	return os.WriteFile(path, seed, 0o600)
}

// signer is a made authority.
type signer struct {
	key  *ecdsa.PrivateKey
	cert *x509.Certificate
}

func newSigner(t *testing.T) *signer {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	must(t, err)
	form := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "made authority"}, NotAfter: time.Now().Add(time.Hour),
		IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageCertSign}
	der, err := x509.CreateCertificate(rand.Reader, form, form, key.Public(), key)
	must(t, err)
	cert, err := x509.ParseCertificate(der)
	must(t, err)
	return &signer{key, cert}
}

// leaf is a certificate of this machine, for servers and clients.
func (s *signer) leaf(t *testing.T) tls.Certificate {
	t.Helper()
	form := &x509.Certificate{SerialNumber: big.NewInt(2), Subject: pkix.Name{CommonName: "made server"}, NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth, x509.ExtKeyUsageClientAuth}}
	der, err := x509.CreateCertificate(rand.Reader, form, s.cert, s.key.Public(), s.key)
	must(t, err)
	return tls.Certificate{Certificate: [][]byte{der}, PrivateKey: s.key}
}

// write puts ca.pem, cert.pem and key.pem into a folder.
func (s *signer) write(t *testing.T, dir string) {
	t.Helper()
	key, err := x509.MarshalPKCS8PrivateKey(s.key)
	must(t, err)
	for name, block := range map[string]*pem.Block{"ca.pem": {Type: "CERTIFICATE", Bytes: s.cert.Raw},
		"cert.pem": {Type: "CERTIFICATE", Bytes: s.leaf(t).Certificate[0]}, "key.pem": {Type: "PRIVATE KEY", Bytes: key}} {
		must(t, os.WriteFile(filepath.Join(dir, name), pem.EncodeToMemory(block), 0o600))
	}
}
