package deliver

import (
	"context"
	"crypto/tls"
	"net"
	"net/smtp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"treewhen/calendar/planfile"
)

// hand hands a letter to the plan's server; nil once the server has said that it has it. Without TLS it says nothing
// that is secret, unless the plan says that TLS is not wanted.
func (s *Sender) hand(ctx context.Context, from, to string, letter []byte) error {
	server := s.plan.Alerts.Mail
	host := strings.Trim(server.Host.Reveal(), "[]")
	config := &tls.Config{ServerName: host, RootCAs: s.trusted, MinVersion: tls.VersionTLS12}
	dialer := &net.Dialer{Timeout: s.patience.mail}
	line, err := dialer.DialContext(ctx, "tcp", net.JoinHostPort(host, strconv.Itoa(server.Port)))
	if err != nil {
		return err
	}
	defer line.Close()
	defer context.AfterFunc(ctx, func() { line.Close() })()
	wait := func() { line.SetDeadline(time.Now().Add(s.patience.mail)) }
	wait()
	conn := line
	if server.TLS == planfile.FromTLS {
		secure := tls.Client(line, config)
		if err := secure.Handshake(); err != nil {
			return err
		}
		conn = secure
	}
	client, err := smtp.NewClient(conn, host)
	if err != nil {
		return err
	}
	wait()
	if err := client.Hello(greeting(from)); err != nil {
		return err
	}
	if server.TLS != planfile.FromTLS && server.TLS != planfile.NoTLS {
		if offered, _ := client.Extension("STARTTLS"); !offered {
			return errNoTLS
		}
		wait()
		if err := client.StartTLS(config); err != nil {
			return err
		}
	}
	if server.Password != nil {
		way, err := s.login(client)
		if err != nil {
			return err
		}
		wait()
		if err := client.Auth(way); err != nil {
			return err
		}
	}
	if offered, _ := client.Extension("SMTPUTF8"); !offered && !ascii(from+to) {
		return errNoUTF8
	}
	for _, step := range []func() error{
		func() error { return begin(client, from, to) },
		func() error { return client.Rcpt(to) },
		func() error { return give(client, letter, wait) },
	} {
		wait()
		if err := step(); err != nil {
			return untaken{err}
		}
	}
	line.SetDeadline(time.Now().Add(goodbyeTime))
	client.Quit() // what goes wrong once a mail is taken changes nothing
	return nil
}

// goodbyeTime is how long a server's answer to a goodbye is waited for.
const goodbyeTime = 5 * time.Second

// ascii reports whether a text has no letter outside ASCII.
func ascii(text string) bool {
	return !strings.ContainsFunc(text, func(r rune) bool { return r > unicode.MaxASCII })
}

// greeting returns the name under which a server is greeted: ASCII, whatever it offers (RFC 6531 section 3.7.1).
func greeting(from string) string {
	if name := domain(from); ascii(name) {
		return name
	}
	return "localhost"
}

// begin tells a server from whom a mail is. [smtp.Client.Mail] asks for SMTPUTF8 wherever it is offered, and a relay
// may then refuse to pass the mail to a server without it: RFC 6531 section 3.4 wants it asked for only where it is
// needed.
func begin(client *smtp.Client, from, to string) error {
	command := "MAIL FROM:<" + from + ">"
	if !ascii(from + to) {
		command += " BODY=8BITMIME SMTPUTF8"
	}
	id, err := client.Text.Cmd("%s", command)
	if err != nil {
		return err
	}
	client.Text.StartResponse(id)
	defer client.Text.EndResponse(id)
	_, _, err = client.Text.ReadResponse(250)
	return err
}

// give hands over the text of a mail.
func give(client *smtp.Client, letter []byte, wait func()) error {
	w, err := client.Data()
	if err != nil {
		return err
	}
	wait()
	if _, err := w.Write(letter); err != nil {
		return err
	}
	wait()
	return w.Close()
}

// login chooses the way in which a server learns who we are. What it is told in clear is told under TLS; where the plan
// wants none, a way that does not tell the password comes first.
func (s *Sender) login(client *smtp.Client) (smtp.Auth, error) {
	server := s.plan.Alerts.Mail
	user, password := server.User.Reveal(), s.secrets[server.Password]
	ways := []struct {
		name string
		auth smtp.Auth
	}{
		{"PLAIN", &told{"PLAIN", []string{"\x00" + user + "\x00" + password}}},
		{"LOGIN", &told{"LOGIN", []string{"", user, password}}},
		{"CRAM-MD5", smtp.CRAMMD5Auth(user, password)},
	}
	if server.TLS == planfile.NoTLS {
		slices.Reverse(ways)
	}
	_, offer := client.Extension("AUTH")
	for _, way := range ways {
		if slices.Contains(strings.Fields(strings.ToUpper(offer)), way.name) {
			return way.auth, nil
		}
	}
	return nil, errNoLogin
}

// told is a way to log in that says one thing after the other, whatever it is asked: PLAIN (RFC 4616), LOGIN
// (draft-murchison-sasl-login). The first goes with the command, if it is not empty.
type told struct {
	name string
	says []string
}

// Start begins: see [smtp.Auth].
func (a *told) Start(*smtp.ServerInfo) (string, []byte, error) { return a.name, a.next(), nil }

// Next goes on: see [smtp.Auth].
func (a *told) Next(_ []byte, more bool) ([]byte, error) {
	if !more {
		return nil, nil
	}
	if len(a.says) == 0 {
		return nil, errNoLogin
	}
	return a.next(), nil
}

func (a *told) next() []byte {
	said := a.says[0]
	a.says = a.says[1:]
	return []byte(said)
}
