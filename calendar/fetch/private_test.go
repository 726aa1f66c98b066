package fetch

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"testing"
)

// Which blocks are not globally reachable, row by row from the IANA IPv4 and IPv6 special-purpose address registries
// (as of RFC 9637), and in the forms in which version 6 carries version 4 (RFC 4291 section 2.5.5, RFC 6052, RFC 3056).
func TestPublic(t *testing.T) {
	for address, want := range map[string]bool{
		"127.0.0.1": false, "127.255.255.254": false, "10.1.2.3": false, "172.16.0.1": false, "172.31.255.255": false,
		"192.168.1.1": false, "169.254.169.254": false, "100.64.0.1": false, "0.0.0.0": false, "0.1.2.3": false,
		"224.0.0.1": false, "239.255.255.250": false, "255.255.255.255": false, "240.0.0.1": false, "198.18.0.1": false,
		"192.0.2.7": false, "203.0.113.5": false, "198.51.100.9": false, "192.0.0.8": false,
		"::": false, "::1": false, "fe80::1": false, "fe80::1%eth0": false, "fec0::1": false, "fc00::1": false,
		"fd12:3456::1": false, "ff02::1": false, "ff0e::1": false, "::ffff:127.0.0.1": false, "::ffff:10.0.0.1": false,
		"::127.0.0.1": false, "64:ff9b::7f00:1": false, "2002:7f00:1::": false, "2001:db8::1": false, "100::1": false,
		"172.15.255.255": true, "172.32.0.1": true, "11.0.0.1": true, "100.63.255.255": true, "100.128.0.1": true,
		"169.253.0.1": true, "1.1.1.1": true, "223.255.255.255": true, "::ffff:8.8.8.8": true, "2600::1": true,
		"2a00:1450::1": true,
	} {
		if got := public(netip.MustParseAddr(address)); got != want {
			t.Errorf("%s: found public %v, want %v", address, got, want)
		}
	}
	if public(netip.Addr{}) {
		t.Error("no address is a public one")
	}
}

// A redirect to this machine's own network is refused before anything is asked there, by address and by name, unless
// the plan names that very host and port.
func TestRedirectsToPrivateAddresses(t *testing.T) {
	inner := newOtherSide(t, good)
	for _, host := range []string{"127.0.0.1", "localhost", "[::1]", "0.0.0.0", "[::ffff:127.0.0.1]", "2130706433", "0x7f.1"} {
		target := strings.Replace(inner.URL, "127.0.0.1", host, 1)
		outer := newOtherSide(t, func(w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, target, http.StatusFound) })
		f, _ := testFetcher(t.TempDir(), outer.URL)
		var got string
		_, _, err := f.Get(t.Context(), outer.URL, accept(&got))
		var private *privateError
		if numeric := host[0] == '2' || host[:2] == "0x"; err == nil || !numeric && !errors.As(err, &private) {
			t.Errorf("%s: found %v", host, err) // the resolver may know no numbers that are written so
		}
		if inner.asked.Load() != 0 || got != "" {
			t.Fatalf("%s: asked there", host)
		}
		if private != nil && (outer.asked.Load() != 1 || !strings.Contains(err.Error(), "want a public one")) {
			t.Errorf("%s: asked %d times: %v", host, outer.asked.Load(), err)
		}
	}
	outer := newOtherSide(t, func(w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, inner.URL, http.StatusFound) })
	f, _ := testFetcher("", outer.URL, inner.URL+"/another/file.csv?key=x")
	var got string
	if _, _, err := f.Get(t.Context(), outer.URL, accept(&got)); err != nil || got != goodAnswer {
		t.Errorf("to a host that the plan names: found %v", err)
	}
}

// Once on https, a way does not lead back to http, whatever it began with.
func TestRedirectBackToHTTP(t *testing.T) {
	plain := newOtherSide(t, good)
	secure := httptest.NewTLSServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		http.Redirect(w, r, plain.URL, http.StatusFound)
	}))
	defer secure.Close()
	first := newOtherSide(t, func(w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, secure.URL, http.StatusFound) })
	f, _ := testFetcher("", first.URL, secure.URL, plain.URL)
	f.web.Transport.(*http.Transport).TLSClientConfig = secure.Client().Transport.(*http.Transport).TLSClientConfig
	var got string
	if _, _, err := f.Get(t.Context(), first.URL, accept(&got)); !errors.Is(err, errDowngrade) || plain.asked.Load() != 0 {
		t.Errorf("found %v", err)
	}
}
