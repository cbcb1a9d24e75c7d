package queue

import (
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"net"
	"net/url"
	"os"
	"strings"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// readURL checks an address, and gives what may be shown of it.
func readURL(text string) (string, error) {
	if strings.TrimSpace(text) == "" {
		return "", errors.New("queue: address: is empty; want the server's, such as nats://host:4222")
	}
	if strings.Contains(text, "@") {
		return "", errors.New("queue: address: holds a user or password, which others can read off the command line; " +
			"want nats://host:4222, and NATS_USER and NATS_PASSWORD (or NATS_TOKEN, NATS_NKEY, NATS_CREDS) in the environment")
	}
	for part := range strings.SplitSeq(text, ",") {
		part = strings.TrimSpace(part)
		if !strings.Contains(part, "://") {
			part = "nats://" + part
		}
		u, err := url.Parse(part)
		if err != nil || u.Hostname() == "" {
			return "", fmt.Errorf("queue: address: %.100q is none; want such as nats://host:4222", part)
		}
		switch u.Scheme {
		case "nats", "tls", "ws", "wss":
		default:
			return "", fmt.Errorf("queue: address: %.100q begins with %q; want nats:// or tls://", part, u.Scheme+"://")
		}
	}
	return text, nil
}

// readProof reads from the environment who one is, and whom to trust.
func readProof(getenv func(string) string) ([]nats.Option, error) {
	if err := readable(getenv, "NATS_CREDS", "NATS_NKEY", "NATS_CA", "NATS_CERT", "NATS_KEY"); err != nil {
		return nil, err
	}
	var out []nats.Option
	var given []string
	add := func(name string, opt nats.Option) { given, out = append(given, name), append(out, opt) }
	if user := getenv("NATS_USER"); user != "" {
		add("NATS_USER", nats.UserInfo(user, getenv("NATS_PASSWORD")))
	} else if getenv("NATS_PASSWORD") != "" {
		return nil, errors.New("queue: NATS_PASSWORD: is set without NATS_USER; set both")
	}
	if token := getenv("NATS_TOKEN"); token != "" {
		add("NATS_TOKEN", nats.Token(token))
	}
	if file := getenv("NATS_CREDS"); file != "" {
		add("NATS_CREDS", nats.UserCredentials(file))
	}
	if file := getenv("NATS_NKEY"); file != "" {
		opt, err := nats.NkeyOptionFromSeed(file)
		if err != nil {
			return nil, fmt.Errorf("queue: NATS_NKEY: %s holds no seed that can be read: %w", file, err)
		}
		add("NATS_NKEY", opt)
	}
	if len(given) > 1 {
		return nil, fmt.Errorf("queue: %s: are all set; want one way to say who one is", strings.Join(given, " and "))
	}
	if file := getenv("NATS_CA"); file != "" {
		out = append(out, nats.RootCAs(file))
	}
	cert, key := getenv("NATS_CERT"), getenv("NATS_KEY")
	if (cert == "") != (key == "") {
		return nil, errors.New("queue: NATS_CERT and NATS_KEY: only one is set; a certificate needs both files")
	}
	if cert != "" {
		out = append(out, nats.ClientCert(cert, key))
	}
	return out, nil
}

// readable checks the files that variables name, since the client library would only say that it cannot connect.
func readable(getenv func(string) string, names ...string) error {
	for _, name := range names {
		if file := getenv(name); file != "" {
			if _, err := os.ReadFile(file); err != nil {
				return fmt.Errorf("queue: %s: cannot be read: %w", name, err)
			}
		}
	}
	return nil
}

// dialFault says why there is no connection.
func dialFault(target string, err error) error {
	var none *noJetStream
	if errors.As(err, &none) {
		return jetStreamFault(target, none.err)
	}
	var cert *tls.CertificateVerificationError
	var unknown x509.UnknownAuthorityError
	var alert *net.OpError
	var plain tls.RecordHeaderError
	switch {
	case errors.Is(err, nats.ErrAuthorization), errors.Is(err, nats.ErrAuthExpired), errors.Is(err, nats.ErrAuthRevoked), errors.Is(err, nats.ErrAccountAuthExpired):
		return fmt.Errorf("queue: %s: refuses who we are; check NATS_USER and NATS_PASSWORD, NATS_TOKEN, NATS_NKEY or NATS_CREDS: %w", target, err)
	case errors.As(err, &cert), errors.As(err, &unknown):
		return fmt.Errorf("queue: %s: its TLS certificate is not trusted; set NATS_CA to the file of who signed it: %w", target, err)
	case errors.Is(err, nats.ErrTLS), errors.As(err, &alert) && alert.Op == "remote error": // so crypto/tls wraps the other side's alert
		return fmt.Errorf("queue: %s: ends the TLS handshake; set NATS_CERT and NATS_KEY to a certificate that it takes: %w", target, err)
	case errors.Is(err, nats.ErrSecureConnRequired):
		return fmt.Errorf("queue: %s: wants TLS; write tls:// or set NATS_CA: %w", target, err)
	case errors.Is(err, nats.ErrSecureConnWanted), errors.As(err, &plain):
		return fmt.Errorf("queue: %s: does not speak TLS as asked for; write nats:// and leave NATS_CA unset, or use another address: %w", target, err)
	}
	return fmt.Errorf("queue: %s: cannot be reached; check the address, and that nats-server -js runs there: %w", target, err)
}

func jetStreamFault(target string, err error) error {
	if errors.Is(err, jetstream.ErrJetStreamNotEnabled) {
		return fmt.Errorf("queue: %s: is a server without JetStream; start it with nats-server -js: %w", target, err)
	}
	if errors.Is(err, jetstream.ErrJetStreamNotEnabledForAccount) {
		return fmt.Errorf("queue: %s: gives this user's account no JetStream; its operator must enable it: %w", target, err)
	}
	return fmt.Errorf("queue: %s: JetStream does not answer; it is down, or this user may not ask it: %w", target, err)
}
