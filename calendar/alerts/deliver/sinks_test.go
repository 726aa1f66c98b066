package deliver

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"errors"
	"fmt"
	"io"
	"maps"
	"math/big"
	"net"
	"net/http"
	"net/http/httptest"
	netmail "net/mail"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/emersion/go-sasl"
	"github.com/emersion/go-smtp"

	"treewhen/calendar/planfile"
)

// mailServer is a real SMTP server that shares no code with what sends: github.com/emersion/go-smtp.
type mailServer struct {
	host, port string
	trusted    *x509.CertPool
	ways       map[string]func() sasl.Server // to log in; nil: PLAIN

	mu    sync.Mutex
	got   []string                       // what was taken, as it came
	fails func(step string, n int) error // asked at "hello", "auth", "from", "to", "data" and, once the mail is here, "end"
	asked map[string]int
	paths []string // from whom and to whom, with what was asked for
}

const serverPassword = "correct-horse-battery"

// startMail starts a server that is set in some other ways. tlsFrom is when TLS begins: planfile.StartTLS, FromTLS or NoTLS.
func startMail(t testing.TB, tlsFrom planfile.TLS, set ...func(*smtp.Server)) *mailServer {
	t.Helper()
	m := &mailServer{asked: map[string]int{}}
	certificate, pool := selfSigned(t)
	m.trusted = pool
	server := smtp.NewServer(m)
	server.Domain, server.AllowInsecureAuth = "localhost", tlsFrom == planfile.NoTLS
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	config := &tls.Config{Certificates: []tls.Certificate{certificate}}
	switch tlsFrom {
	case planfile.StartTLS:
		server.TLSConfig = config
	case planfile.FromTLS:
		listener = tls.NewListener(listener, config)
	}
	for _, do := range set {
		do(server)
	}
	m.host, m.port, _ = net.SplitHostPort(listener.Addr().String())
	go server.Serve(listener)
	t.Cleanup(func() { server.Close() })
	return m
}

// selfSigned makes a certificate for localhost, and a pool that trusts it.
func selfSigned(t testing.TB) (tls.Certificate, *x509.CertPool) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "localhost"}, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour), IsCA: true, BasicConstraintsValid: true,
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	parsed, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	pool := x509.NewCertPool()
	pool.AddCert(parsed)
	return tls.Certificate{Certificate: [][]byte{der}, PrivateKey: key}, pool
}

func (m *mailServer) step(name string) error {
	m.mu.Lock()
	m.asked[name]++
	fails, n := m.fails, m.asked[name]
	m.mu.Unlock()
	if fails == nil {
		return nil
	}
	return fails(name, n)
}

// times returns how often a step was asked.
func (m *mailServer) times(step string) int {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.asked[step]
}

// texts returns the mails that were taken, as they came.
func (m *mailServer) texts() []string {
	m.mu.Lock()
	defer m.mu.Unlock()
	return slices.Clone(m.got)
}

// taken returns the mails that were taken.
func (m *mailServer) taken(t testing.TB) (list []*netmail.Message) {
	t.Helper()
	for _, text := range m.texts() {
		letter, err := netmail.ReadMessage(strings.NewReader(text))
		if err != nil {
			t.Fatalf("%v in\n%s", err, text)
		}
		list = append(list, letter)
	}
	return list
}

// NewSession is asked by the server when somebody comes.
func (m *mailServer) NewSession(*smtp.Conn) (smtp.Session, error) {
	return &session{m}, m.step("hello")
}

type session struct{ *mailServer }

func (s *session) AuthMechanisms() []string {
	if s.ways == nil {
		return []string{sasl.Plain}
	}
	return slices.Sorted(maps.Keys(s.ways))
}

func (s *session) Auth(way string) (sasl.Server, error) {
	if s.ways != nil {
		return s.ways[way](), s.step("auth " + way)
	}
	return sasl.NewPlainServer(func(_, user, password string) error {
		if user != "bush@example.org" || password != serverPassword {
			return errors.New("bush@example.org is not who it says")
		}
		return s.step("auth")
	}), nil
}

func (s *session) Mail(from string, asked *smtp.MailOptions) error {
	s.mu.Lock()
	s.paths = append(s.paths, fmt.Sprint(from, " ", asked.UTF8))
	s.mu.Unlock()
	return s.step("from")
}

func (s *session) Rcpt(to string, _ *smtp.RcptOptions) error {
	s.mu.Lock()
	s.paths = append(s.paths, to)
	s.mu.Unlock()
	return s.step("to")
}

func (s *session) Reset()        {}
func (s *session) Logout() error { return nil }

func (s *session) Data(r io.Reader) error {
	if err := s.step("data"); err != nil {
		return err
	}
	text, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	if err := s.step("end"); err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.got = append(s.got, string(text))
	return nil
}

// refuses is an answer as servers give it, with the address in it.
func refuses(code int) error {
	return &smtp.SMTPError{Code: code, EnhancedCode: smtp.EnhancedCode{code / 100, 1, 1}, Message: "<crew@example.org>: not today"}
}

// sink takes a POST.
type sink struct {
	*httptest.Server
	mu     sync.Mutex
	asked  int
	got    []string
	header []http.Header
	answer func(n int, w http.ResponseWriter, r *http.Request) (taken bool)
}

func startSink(t testing.TB, answer func(n int, w http.ResponseWriter, r *http.Request) bool) *sink {
	s := &sink{answer: answer}
	s.Server = httptest.NewTLSServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		var b bytes.Buffer
		b.ReadFrom(r.Body)
		s.mu.Lock()
		s.asked++
		n := s.asked
		s.mu.Unlock()
		if s.answer != nil && !s.answer(n, w, r) {
			return
		}
		s.mu.Lock()
		defer s.mu.Unlock()
		s.got, s.header = append(s.got, b.String()), append(s.header, r.Header.Clone())
	}))
	s.Config.ErrorLog = nil
	t.Cleanup(s.Close)
	return s
}

func (s *sink) texts() []string {
	texts, _ := s.taken()
	return texts
}

// times returns how often it was asked.
func (s *sink) times() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.asked
}

func (s *sink) taken() ([]string, []http.Header) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]string(nil), s.got...), append([]http.Header(nil), s.header...)
}
