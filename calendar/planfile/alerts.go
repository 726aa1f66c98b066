package planfile

import (
	"errors"
	"net/mail"
	"net/url"
	"regexp"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/tapping"
	"treewhen/phenology/problem"
	"treewhen/profiles/strictyaml"
)

// Alerts are what a plan asks to be sent, and to whom. No address and no name in it is ever written anywhere but to
// the server that is to send it: see [Private].
type Alerts struct {
	Mail *MailServer // nil: nothing is sent by mail
	To   []*Recipient
}

// Private is a text of a plan that nobody but the plan's owner may read: an address, or who somebody is to a server.
// Every way of printing it gives another text.
type Private struct{ text string }

const hidden = "(in the plan)"

// String and the others hide the text.
func (Private) String() string               { return hidden }
func (Private) GoString() string             { return hidden }
func (Private) MarshalText() ([]byte, error) { return []byte(hidden), nil }

// Reveal returns the text, for the server that it is meant for.
func (p Private) Reveal() string { return p.text }

// MailServer is the SMTP server that mail is handed to.
type MailServer struct {
	Host     Private
	Port     int
	TLS      TLS
	User     Private
	Password *Secret // nil: the server wants none
	From     Private // an address that [mail.ParseAddress] reads
}

// TLS is how a connection is kept from being read on its way.
type TLS string

// The ways of TLS.
const (
	StartTLS TLS = "starttls"   // asked for on an open connection, and nothing is said before it is granted; RFC 3207
	FromTLS  TLS = "from-start" // from the first byte on; RFC 8314 section 3
	NoTLS    TLS = "none"       // what is sent can be read on its way: the owner says that it may
)

// Secret is where a password is kept; never in the plan itself.
type Secret struct {
	Line int
	Env  string // the name of a variable of the environment, or
	File string // of a file, relative to the plan, whose first line it is
}

// Recipient is who is to be told of what.
type Recipient struct {
	Line       int
	Mail       Private // an address for mail, or
	Post       Private // one that takes a POST
	Token      *Secret // of Post, sent as its bearer's; RFC 6750
	Fields     map[string]string
	Activities []calendar.Activity // empty: all
	Sites      []Word              // ids; empty: all
	Runs       tapping.RunSize     // the smallest run to be told of; "" is any
	Quiet      calendar.Hours      // in which nobody is told, by the clocks of the thing's site; may pass midnight
}

// ByMail reports whether the recipient is told by mail.
func (r *Recipient) ByMail() bool { return r.Mail != Private{} }

// Address returns where the recipient is told.
func (r *Recipient) Address() string {
	if r.ByMail() {
		return r.Mail.Reveal()
	}
	return r.Post.Reveal()
}

// Secrets returns where all passwords are kept.
func (a *Alerts) Secrets() (list []*Secret) {
	if a.Mail != nil && a.Mail.Password != nil {
		list = append(list, a.Mail.Password)
	}
	for _, r := range a.To {
		if r.Token != nil {
			list = append(list, r.Token)
		}
	}
	return list
}

func readAlerts(m *strictyaml.Map) *Alerts {
	v, ok := m.Get("alerts")
	if !ok {
		return nil
	}
	am, ok := keysOf(v, "mail and to")
	if !ok {
		return nil
	}
	am.Required("to")
	a := &Alerts{}
	if v, ok := am.Get("mail"); ok {
		if mm, ok := keysOf(v, "server and from"); ok {
			a.Mail = readMailServer(mm)
			mm.Done()
		}
	}
	list, _ := am.List("to")
	for _, v := range list {
		rm, ok := keysOf(v, "mail or post")
		if !ok {
			continue
		}
		r := readRecipient(rm)
		if r.ByMail() && a.Mail == nil && !am.Has("mail") {
			rm.ReportKey("mail", "found a recipient of mail in a plan without a mail server, want alerts: mail: server")
		}
		rm.Done()
		a.To = append(a.To, r)
	}
	if v, ok := am.Get("to"); ok && v.IsList() && len(list) == 0 {
		v.Report("found nobody, want at least one; leave alerts out to tell nobody")
	}
	am.Done()
	return a
}

// keysOf returns a value as keys and values; another is refused without being repeated: it may be an address.
func keysOf(v strictyaml.Value, such string) (*strictyaml.Map, bool) {
	if !v.IsMap() {
		v.Report("want keys and values, such as %s", such)
		return nil, false
	}
	return v.Map()
}

func readMailServer(m *strictyaml.Map) *MailServer {
	m.Required("server", "from")
	s := &MailServer{TLS: StartTLS}
	s.Host, _ = strictyaml.GetAs(m, "server", parseHost)
	set(&s.TLS)(strictyaml.GetOneOf(m, "tls", StartTLS, FromTLS, NoTLS))
	// The ports of RFC 6409 and of RFC 8314 section 3.3.
	s.Port = map[TLS]int{StartTLS: 587, FromTLS: 465, NoTLS: 25}[s.TLS]
	set(&s.Port)(m.IntIn("port", 1, 65535))
	s.From, _ = strictyaml.GetAs(m, "from", parseMailbox)
	s.User, _ = strictyaml.GetAs(m, "user", parseUser)
	s.Password = readSecret(m, "password")
	if m.Has("user") != m.Has("password") {
		m.ReportKey("user", "found one of user and password, want both or neither")
	}
	return s
}

func readRecipient(m *strictyaml.Map) *Recipient {
	r := &Recipient{Line: m.Line()}
	r.Mail, _ = strictyaml.GetAs(m, "mail", parseMailbox)
	r.Post, _ = strictyaml.GetAs(m, "post", parsePost)
	switch {
	case m.Has("mail") == m.Has("post"):
		m.ReportKey("mail", "found %s of mail and post, want one of them",
			map[bool]string{true: "both", false: "neither"}[m.Has("mail")])
	case m.Has("post"):
		r.Token = readSecret(m, "token")
		if fm, ok := m.Map("fields"); ok {
			r.Fields = map[string]string{}
			for key, v := range fm.All() {
				r.Fields[key], _ = v.Text()
			}
		}
		way, _ := strictyaml.GetOneOf(m, "tls", NoTLS)
		if u, err := url.Parse(r.Post.Reveal()); err == nil && (u.Scheme == "http") != (way == NoTLS) {
			m.ReportKey("post", "found an address of http, which anybody on the way can read, want https; or, if it "+
				"may be read, tls: none beside an address of http")
		}
	}
	r.Activities, _ = readActivities(m)
	r.Sites, _ = listOf(m, "sites", "", readWord)
	r.Runs, _ = strictyaml.GetOneOf(m, "runs", tapping.SizeSmall, tapping.SizeMiddling, tapping.SizeLarge)
	r.Quiet, _ = strictyaml.GetAs(m, "quiet", parseQuiet)
	return r
}

var variable = regexp.MustCompile(`^[A-Za-z_][A-Za-z0-9_]*$`)

// readSecret reads where a password is. One that stands in the plan is refused without being repeated.
func readSecret(m *strictyaml.Map, key string) *Secret {
	v, ok := m.Get(key)
	if !ok {
		return nil
	}
	s := &Secret{Line: v.Line()}
	sm, ok := keysOf(v, "{env: NAME}, a variable of the environment, or {file: PATH}; what is secret stands in no plan")
	if !ok {
		return s
	}
	s.Env, _ = strictyaml.GetAs(sm, "env", func(name string) (string, error) {
		if !variable.MatchString(name) {
			return "", errors.New("want the name of a variable such as MAIL_PASSWORD")
		}
		return name, nil
	})
	s.File, _ = sm.Text("file")
	if sm.Has("env") == sm.Has("file") {
		v.Report("want one of env and file")
	}
	sm.Done()
	return s
}

var host = regexp.MustCompile(`^[A-Za-z0-9]([A-Za-z0-9.-]*[A-Za-z0-9])?$|^[0-9A-Fa-f:]*:[0-9A-Fa-f:.]*$`)

// What is wrong with an address is said without repeating it.

func parseHost(text string) (Private, error) {
	if len(text) > 253 || !host.MatchString(text) {
		return Private{}, errors.New("found no host, want one such as smtp.example.org; its port stands under port")
	}
	return Private{text}, nil
}

func parseMailbox(text string) (Private, error) {
	a, err := mail.ParseAddress(text)
	if err != nil || problem.CheckText(text, problem.MostName, false) != nil {
		return Private{}, errors.New("found no address, want one such as crew@example.org or Crew <crew@example.org>")
	}
	return Private{a.String()}, nil
}

func parseUser(text string) (Private, error) {
	if err := problem.CheckText(text, problem.MostName, false); err != nil {
		return Private{}, errors.New("found a text of too many or odd characters, want who you are to the server")
	}
	return Private{text}, nil
}

func parsePost(text string) (Private, error) {
	u, err := url.Parse(text)
	switch {
	case err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || u.Fragment != "":
		return Private{}, errors.New("found no address, want one such as https://push.example.org/bush")
	case u.User != nil:
		return Private{}, errors.New("found an address with a user's name in it, want one without, and token")
	}
	return Private{text}, nil
}

// parseQuiet reads two times of a day with a slash between them; the second may be of the next day.
func parseQuiet(text string) (calendar.Hours, error) {
	h, ok := parseClocks(text)
	if !ok || h.Start == h.End {
		return h, errors.New(`want two times of a day such as "21:00/06:00"`)
	}
	return h, nil
}

// CheckAlerts returns what of the plan's alerts does not fit its sites, once all of them are read.
func (p *Plan) CheckAlerts() error {
	if p.Alerts == nil {
		return nil
	}
	var wrong problem.List
	for _, r := range p.Alerts.To {
		for _, id := range r.Sites {
			if !slices.ContainsFunc(p.Sites, func(s *Site) bool { return s.ID == id.Text }) {
				wrong.Add(p.File, id.Line, "alerts", "found site %.80q, want the id of a site of this plan", id.Text)
			}
		}
	}
	return wrong.Err()
}
