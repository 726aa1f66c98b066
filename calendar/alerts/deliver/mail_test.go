package deliver

import (
	"context"
	"crypto/hmac"
	"crypto/md5"
	"crypto/tls"
	"encoding/hex"
	"errors"
	"fmt"
	"mime"
	netmail "net/mail"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-sasl"
	"github.com/emersion/go-smtp"

	"treewhen/calendar/alerts"
	"treewhen/calendar/planfile"
)

// dialogue is a server's side of logging in that asks one thing after the other and judges the answers.
type dialogue struct {
	asks  []string
	judge func(says []string) bool
	said  []string
}

// Next takes what the other side says; nil before it has said anything.
func (d *dialogue) Next(response []byte) (challenge []byte, done bool, err error) {
	if response != nil {
		d.said = append(d.said, string(response))
	}
	if len(d.said) < len(d.asks) {
		return []byte(d.asks[len(d.said)]), false, nil
	}
	if !d.judge(d.said) {
		return nil, false, errors.New("not who it says")
	}
	return nil, true, nil
}

// challenge is that of the example of RFC 2195 section 2.
const challenge = "<1896.697170952@postoffice.reston.mci.net>"

func waysOf(names ...string) map[string]func() sasl.Server {
	all := map[string]func() sasl.Server{
		"PLAIN": func() sasl.Server {
			return sasl.NewPlainServer(func(_, user, password string) error {
				if user != "bush@example.org" || password != serverPassword {
					return errors.New("not who it says")
				}
				return nil
			})
		},
		"LOGIN": func() sasl.Server {
			return &dialogue{asks: []string{"Username:", "Password:"}, judge: func(says []string) bool {
				return slices.Equal(says, []string{"bush@example.org", serverPassword})
			}}
		},
		"CRAM-MD5": func() sasl.Server {
			return &dialogue{asks: []string{challenge}, judge: func(says []string) bool {
				sum := hmac.New(md5.New, []byte(serverPassword))
				sum.Write([]byte(challenge))
				return says[0] == "bush@example.org "+hex.EncodeToString(sum.Sum(nil))
			}}
		},
		"GSSAPI": func() sasl.Server { return &dialogue{judge: func([]string) bool { return false }} },
	}
	ways := map[string]func() sasl.Server{}
	for _, name := range names {
		ways[name] = all[name]
	}
	return ways
}

// Each way to log in is taken where the server offers no better one; without TLS the one that does not tell the password.
func TestWaysToLogIn(t *testing.T) {
	for _, row := range []struct {
		tls   planfile.TLS
		offer []string
		want  string
	}{
		{planfile.StartTLS, []string{"PLAIN", "LOGIN", "CRAM-MD5"}, "PLAIN"},
		{planfile.StartTLS, []string{"GSSAPI", "LOGIN", "CRAM-MD5"}, "LOGIN"},
		{planfile.FromTLS, []string{"CRAM-MD5"}, "CRAM-MD5"},
		{planfile.NoTLS, []string{"PLAIN", "LOGIN", "CRAM-MD5"}, "CRAM-MD5"},
		{planfile.NoTLS, []string{"PLAIN", "LOGIN"}, "LOGIN"},
		{planfile.StartTLS, []string{"GSSAPI"}, ""},
	} {
		m := startMail(t, row.tls)
		m.ways = waysOf(row.offer...)
		p := mailPlan(t, m, row.tls, ", user: bush@example.org, password: {env: PASSWORD}")
		err := sender(t, p, m, nil).Send(t.Context(), p.Alerts.To[0], message())
		saysNothing(t, err)
		if row.want == "" {
			if err == nil || !strings.Contains(err.Error(), "it knows no way to take a password that is known here") {
				t.Errorf("%v: found %v", row, err)
			}
			continue
		}
		if err != nil || len(m.taken(t)) != 1 || m.times("auth "+row.want) != 1 {
			t.Errorf("%v: found %v, %d mails", row, err, len(m.taken(t)))
		}
	}
	m := startMail(t, planfile.StartTLS)
	m.ways = waysOf("LOGIN")
	p := mailPlan(t, m, planfile.StartTLS, ", user: somebody, password: {env: PASSWORD}")
	err := sender(t, p, m, nil).Send(t.Context(), p.Alerts.To[0], message())
	if err == nil || !strings.Contains(err.Error(), "it does not let us in: 4") {
		t.Errorf("found %v", err)
	}
	saysNothing(t, err)
}

// No line of a mail is longer than RFC 5322 section 2.1.1 wants, none but ASCII, and nothing in a title or name makes
// a header field of its own.
func TestLetter(t *testing.T) {
	s := &Sender{plan: &planfile.Plan{Title: "A plan"}}
	from := &netmail.Address{Name: "Érablière du Haut-de-la-Côte \"et fils\"", Address: "bush@example.org"}
	to := &netmail.Address{Address: "crew@example.org"}
	for _, title := range []string{
		"Tap", "Tap sugar maple now: " + strings.Repeat("a long title ", 20), "Entaillez l’érable à sucre – " + strings.Repeat("é ", 100),
		"Tap\r\nBcc: somebody@example.org", strings.Repeat("x", 200),
	} {
		text := string(s.letter(from, to, alerts.Message{ID: "5b1e", Title: title, Message: "Tap.\n.\nÉrable " + title}, time.Unix(0, 0).UTC()))
		for line := range strings.SplitSeq(text, "\r\n") {
			words := strings.Fields(line)
			if len(line) > mostLetters && len(words) > 1 || strings.ContainsFunc(line, func(r rune) bool { return r < ' ' || r > '~' }) {
				t.Errorf("%.20q: found a line of %d letters: %q", title, len(line), line)
			}
		}
		letter, err := netmail.ReadMessage(strings.NewReader(text))
		if err != nil {
			t.Fatalf("%v in\n%s", err, text)
		}
		got, err := new(mime.WordDecoder).DecodeHeader(letter.Header.Get("Subject"))
		if err != nil || strings.TrimSpace(got) != strings.TrimSpace(title) {
			t.Errorf("found the title %q, %v, want %q", got, err, title)
		}
		list, err := letter.Header.AddressList("From")
		if err != nil || *list[0] != *from || len(letter.Header) != 9 || letter.Header.Get("Message-ID") != "<5b1e@example.org>" {
			t.Errorf("%.20q: found %v, %v, %v", title, list, err, letter.Header)
		}
	}
}

// Letters outside ASCII in an address go only to a server that takes them, and nothing is asked for that a mail does not
// need: RFC 6531 section 3.4. What must stand in quotes does.
func TestAddressesOfAllLetters(t *testing.T) {
	for _, row := range []struct {
		from, to string
		offers   bool
		want     []string // nil: not sent
	}{
		{"bush@example.org", "crew@example.org", true, []string{"bush@example.org false", "crew@example.org"}},
		{"bush@example.org", "érable@exämple.org", true, []string{"bush@example.org true", "érable@exämple.org"}},
		{"érable@exämple.org", "crew@example.org", true, []string{"érable@exämple.org true", "crew@example.org"}},
		{"bush@example.org", "érable@example.org", false, nil},
		{"bush@example.org", "Crew <\"a>b\"@example.org>", false, []string{"bush@example.org false", "a>b@example.org"}},
	} {
		m := startMail(t, planfile.StartTLS, func(s *smtp.Server) { s.EnableSMTPUTF8 = row.offers })
		p := planOf(t, fmt.Sprintf("  mail: {server: %s, port: %s, from: %q}\n  to: [{mail: %q}]", m.host, m.port, row.from, row.to))
		err := sender(t, p, m, nil).Send(t.Context(), p.Alerts.To[0], message())
		saysNothing(t, err)
		if row.want == nil {
			if err == nil || !strings.Contains(err.Error(), "it takes no address with letters outside ASCII") || m.times("from") > 0 {
				t.Errorf("%v: found %v", row, err)
			}
			continue
		}
		if err != nil || !slices.Equal(m.paths, row.want) || len(m.taken(t)) != 1 {
			t.Errorf("%v: found %v, %q", row, err, m.paths)
		}
	}
}

// A server whose TLS is older than 1.2 (RFC 8996) is told nothing.
func TestOldTLSIsRefused(t *testing.T) {
	m := startMail(t, planfile.StartTLS, func(s *smtp.Server) {
		s.TLSConfig.MinVersion, s.TLSConfig.MaxVersion = tls.VersionTLS10, tls.VersionTLS11
	})
	p := mailPlan(t, m, planfile.StartTLS, ", user: bush@example.org, password: {env: PASSWORD}")
	err := sender(t, p, m, nil).Send(t.Context(), p.Alerts.To[0], message())
	if err == nil || !strings.Contains(err.Error(), "it breaks off the handshake of TLS") || m.times("auth") > 0 {
		t.Errorf("found %v", err)
	}
	saysNothing(t, err)
}

// Whoever stops the program is not kept waiting by a server.
func TestMailIsInterrupted(t *testing.T) {
	m := startMail(t, planfile.StartTLS)
	ctx, stop := context.WithCancel(t.Context())
	m.fails = func(step string, _ int) error {
		if step == "from" {
			stop()
			time.Sleep(time.Second)
		}
		return nil
	}
	p := mailPlan(t, m, planfile.StartTLS, "")
	s := sender(t, p, m, nil)
	s.patience.mail = time.Minute
	if err := s.Send(ctx, p.Alerts.To[0], message()); err == nil || !strings.Contains(fmt.Sprint(err), "interrupted") {
		t.Errorf("found %v", err)
	}
}
