package fetch

import (
	"cmp"
	"context"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"slices"
	"sync"
	"syscall"
	"time"
)

// A plan's owner chooses the addresses in it; whoever answers there chooses where they redirect to. Such a redirect
// must not make this machine ask others of its own network on somebody else's behalf. So a connection to a host and
// port that no plan names is looked at when it is dialled, with the address that the name has come to mean by then: a
// name that means another address at each look does not help.

// newTransport returns a transport to the hosts that are known, and to public ones.
func newTransport(known *knownHosts) *http.Transport {
	return &http.Transport{
		// A proxy is the owner's choice as well. What it connects to is for it to watch over.
		Proxy: func(r *http.Request) (*url.URL, error) {
			proxy, err := http.ProxyFromEnvironment(r)
			if proxy != nil {
				known.add(proxy)
			}
			return proxy, err
		},
		DialContext:       known.dial,
		ForceAttemptHTTP2: true, TLSHandshakeTimeout: 10 * time.Second, ResponseHeaderTimeout: 20 * time.Second,
		MaxResponseHeaderBytes: 64 << 10, MaxIdleConnsPerHost: 1, IdleConnTimeout: 5 * time.Second,
	}
}

// knownHosts are the hosts and ports that the owner chose.
type knownHosts struct {
	mu    sync.Mutex
	hosts map[string]bool
}

// ports are those that addresses mean without saying so.
var ports = map[string]string{"http": "80", "https": "443", "socks5": "1080", "socks5h": "1080"}

func (k *knownHosts) add(u *url.URL) {
	port := cmp.Or(u.Port(), ports[u.Scheme])
	k.mu.Lock()
	defer k.mu.Unlock()
	k.hosts[net.JoinHostPort(u.Hostname(), port)] = true
}

func (k *knownHosts) has(hostPort string) bool {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.hosts[hostPort]
}

// dial connects to a host and port. Where they are not known, only to a public address.
func (k *knownHosts) dial(ctx context.Context, network, hostPort string) (net.Conn, error) {
	d := net.Dialer{Timeout: 10 * time.Second}
	if !k.has(hostPort) {
		d.ControlContext = func(_ context.Context, _, address string, _ syscall.RawConn) error {
			if at, err := netip.ParseAddrPort(address); err != nil || !public(at.Addr()) {
				return &privateError{hostPort, address}
			}
			return nil
		}
	}
	return d.DialContext(ctx, network, hostPort)
}

// privateError is the error of a redirect to an address that is nobody's but one's own.
type privateError struct{ host, address string }

func (e *privateError) Error() string {
	return fmt.Sprintf(
		"it redirects to %q, which is %s here: an address of this machine or its network, want a public one; if it is "+
			"meant, name it in the plan instead", e.host, e.address,
	)
}

// notPublic are the blocks that are not globally reachable, or stand for such in another form: the IANA special-purpose
// address registries (RFC 6890 and later), and multicast (RFC 5771, RFC 4291).
var notPublic = prefixes(
	"0.0.0.0/8", "10.0.0.0/8", "100.64.0.0/10", "127.0.0.0/8", "169.254.0.0/16", "172.16.0.0/12", "192.0.0.0/24",
	"192.0.2.0/24", "192.88.99.0/24", "192.168.0.0/16", "198.18.0.0/15", "198.51.100.0/24", "203.0.113.0/24",
	"224.0.0.0/3", // multicast, what is reserved, and broadcast
	"::/96",       // unspecified, loopback, and addresses of version 4 in an old form
	"64:ff9b::/96", "64:ff9b:1::/48", "100::/64", "2001::/23", "2001:db8::/32", "2002::/16", "3fff::/20", "5f00::/16",
	"fc00::/7", "fe80::/9", // link-local, and what was site-local
	"ff00::/8",
)

func prefixes(list ...string) (all []netip.Prefix) {
	for _, text := range list {
		all = append(all, netip.MustParsePrefix(text))
	}
	return all
}

// public reports whether an address may be anywhere in the world.
func public(a netip.Addr) bool {
	a = a.Unmap().WithZone("")
	return a.IsValid() && a.IsGlobalUnicast() &&
		!slices.ContainsFunc(notPublic, func(p netip.Prefix) bool { return p.Contains(a) })
}
