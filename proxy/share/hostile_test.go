package share

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"aead.dev/minisign"

	"swellbox/profiles/pack"
)

// offerOf is what an honest server says of a package.
func offerOf(p *pack.Package, k pack.Key) pack.Offer {
	return pack.Offer{
		Name: p.Name, Version: p.Version, Author: p.Author, Licence: p.Licence,
		Size: int64(len(p.Bytes())), SHA256: p.SHA256(), KeyID: k.ID(),
	}
}

func indexOf(t *testing.T, offers ...pack.Offer) []byte {
	t.Helper()
	b, err := json.Marshal(Index{form, offers})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// endless sends until the client has had enough.
func endless(w http.ResponseWriter) {
	chunk := bytes.Repeat([]byte("[[ "), 4096)
	for {
		if _, err := w.Write(chunk); err != nil {
			return
		}
	}
}

// A server may say anything: nothing is installed, and a sentence says why.
func TestHostileServers(t *testing.T) {
	anna, other := newHouse(t), newHouse(t)
	p := newPackage(t, "winds", "1.0.0", "Anna Example", 40_000)
	older := newPackage(t, "winds", "0.1.0", "Anna Example", 40_000)
	offer, sig := offerOf(p, anna.key.Public()), anna.sign(t, p)
	with := func(change func(*pack.Offer)) []byte {
		o := offer
		change(&o)
		return indexOf(t, o)
	}
	send := func(b []byte) http.HandlerFunc {
		return func(w http.ResponseWriter, _ *http.Request) { w.Write(b) }
	}
	otherBytes := append([]byte{}, p.Bytes()...)
	otherBytes[len(otherBytes)-2000] ^= 1
	honest := map[string]http.HandlerFunc{indexPath: send(indexOf(t, offer)), "sig": send(sig), "pkg": send(p.Bytes())}
	for name, c := range map[string]struct {
		path   string // what is answered otherwise than by an honest server
		answer http.HandlerFunc
		want   string
	}{
		"no list":      {indexPath, http.NotFound, "is no server of swellbox"},
		"failing":      {indexPath, func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(500) }, "the status 500"},
		"busy":         {indexPath, func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(503) }, "it is busy"},
		"endless list": {indexPath, func(w http.ResponseWriter, _ *http.Request) { endless(w) }, "over 1048576 bytes"},
		"a page":       {indexPath, send([]byte("<html>")), "its list of packages cannot be read"},
		"deep list":    {indexPath, send([]byte(strings.Repeat("[", 100_000))), "its list of packages cannot be read"},
		"other form":   {indexPath, send([]byte(`{"swellbox_share":2,"packages":[]}`)), "is of form 2"},
		"too many":     {indexPath, send(indexOf(t, make([]pack.Offer, offersLimit+1)...)), "it lists 2001 packages"},
		"another place": {indexPath, func(w http.ResponseWriter, r *http.Request) {
			http.Redirect(w, r, "http://127.0.0.1/", http.StatusFound)
		}, "points to another place"},
		"way out in a name":     {indexPath, send(with(func(o *pack.Offer) { o.Name = "../winds" })), "cannot be named"},
		"way out in a version":  {indexPath, send(with(func(o *pack.Offer) { o.Version = "1.0.0/../.." })), "is not like 1.4.0"},
		"way out in a hash":     {indexPath, send(with(func(o *pack.Offer) { o.SHA256 = "../../trust/x" })), "is no SHA-256"},
		"steering author":       {indexPath, send(with(func(o *pack.Offer) { o.Author = "\x1b[2J" })), "the author is"},
		"size of a disk":        {indexPath, send(with(func(o *pack.Offer) { o.Size = 1 << 50 })), "a package has at most"},
		"no size":               {indexPath, send(with(func(o *pack.Offer) { o.Size = -1 })), "a package has at most"},
		"lying hash":            {indexPath, send(with(func(o *pack.Offer) { o.SHA256 = strings.Repeat("0", 64) })), "is not what was announced"},
		"size too small":        {indexPath, send(with(func(o *pack.Offer) { o.Size -= 512 })), "it sends more than the"},
		"size too large":        {indexPath, send(with(func(o *pack.Offer) { o.Size += 512 })), "the transfer broke off"},
		"newer than it is":      {indexPath, send(with(func(o *pack.Offer) { o.Version = "9.0.0" })), "its signature of winds 9.0.0 is for winds 1.0.0"},
		"no signature":          {"sig", http.NotFound, "does not have that any more"},
		"endless signature":     {"sig", func(w http.ResponseWriter, _ *http.Request) { endless(w) }, "over 4096 bytes"},
		"no such signature":     {"sig", send([]byte("signed")), "the signature is damaged"},
		"old signature":         {"sig", send(anna.sign(t, older)), "its signature of winds 1.0.0 is for winds 0.1.0"},
		"another's signature":   {"sig", send(other.sign(t, p)), "THE KEY HAS CHANGED"},
		"no package":            {"pkg", http.NotFound, "does not have that any more"},
		"other bytes":           {"pkg", send(otherBytes), "is not what was announced"},
		"old package":           {"pkg", send(older.Bytes()), "what came for winds-1.0.0.swellbox.tar is not"},
		"endless package":       {"pkg", func(w http.ResponseWriter, _ *http.Request) { endless(w) }, "it sends more than the"},
		"empty package":         {"pkg", send(nil), "unexpected EOF"},
		"some other piece":      {"pkg", func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(206) }, "another piece than was asked for"},
		"endless header":        {"pkg", func(w http.ResponseWriter, _ *http.Request) { w.Header().Set("X", strings.Repeat("x", 1<<17)) }, "exceeded"},
		"signed, not a package": {"all", nil, "cut short or no package"},
	} {
		t.Run(name, func(t *testing.T) {
			user := newHouse(t)
			if err := pack.AddPin(user.home, anna.key.Public(), "Anna Example"); err != nil {
				t.Fatal(err)
			}
			if name == "another's signature" { // by somebody who poses as the author of what is there
				if _, err := pack.Install(user.home, older.Bytes(), anna.sign(t, older), pack.Options{}); err != nil {
					t.Fatal(err)
				}
			}
			answers := map[string]http.HandlerFunc{c.path: c.answer}
			for path, h := range honest {
				if path != c.path {
					answers[path] = h
				}
			}
			if c.path == "all" {
				answers = signedRubbish(t, anna, offer, send)
			}
			s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				switch {
				case r.URL.Path == indexPath:
					answers[indexPath](w, r)
				case strings.HasSuffix(r.URL.Path, pack.SignatureExt):
					answers["sig"](w, r)
				default:
					answers["pkg"](w, r)
				}
			}))
			defer s.Close()
			_, err := Pull(t.Context(), Request{Home: user.home, Host: s.Listener.Addr().String(), Name: "winds", Options: pack.Options{Ask: yes}})
			wantError(t, err, c.want)
			if _, _, err := pack.Kept(user.home, "winds", "1.0.0"); err == nil {
				t.Error("it was installed")
			}
			if pins, err := pack.Pins(user.home); err != nil || len(pins) != 1 {
				t.Errorf("the pins are %+v, %v", pins, err)
			}
		})
	}
}

// signedRubbish is a server whose author signed what is no package.
func signedRubbish(t *testing.T, h *house, o pack.Offer, send func([]byte) http.HandlerFunc) map[string]http.HandlerFunc {
	t.Helper()
	rubbish := bytes.Repeat([]byte("rubbish "), 1000)
	sig := minisign.SignWithComments(h.raw, rubbish, pack.TrustedComment(o.Name, o.Version), "")
	o.Size, o.SHA256 = int64(len(rubbish)), hash(rubbish)
	return map[string]http.HandlerFunc{indexPath: send(indexOf(t, o)), "sig": send(sig), "pkg": send(rubbish)}
}

// Servers that fall silent, or drip, are left after the client's patience, which
// passes in the test's own time.
func TestPatience(t *testing.T) {
	for name, c := range map[string]struct {
		before string // what is sent at once
		drip   string // what is sent again and again, just before the patience for silence ends
		want   string
	}{
		"says nothing":           {"", "", "it sends nothing any more"},
		"stops in the header":    {"HTTP/1.1 200 OK\r\nContent-", "", "it sends nothing any more"},
		"stops in the list":      {"HTTP/1.1 200 OK\r\nContent-Length: 1000\r\n\r\n{", "", "it sends nothing any more"},
		"drips its header":       {"HTTP/1.1 200 OK\r\n", "X: y\r\n", "it sends nothing any more"},
		"drips a list":           {"HTTP/1.1 200 OK\r\nContent-Length: 100000\r\n\r\n{", " ", "it is too slow"},
		"drips a list in chunks": {"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n", "1\r\n \r\n", "it is too slow"},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				dial := wired(func(_ int, w io.Writer, gone <-chan struct{}) {
					io.WriteString(w, c.before)
					for c.drip != "" && still(gone) {
						io.WriteString(w, c.drip)
					}
					<-gone
				})
				_, err := newClient("studio", dial, clientPatience).list(t.Context())
				wantError(t, err, "studio: "+c.want)
			})
		})
	}
}

// wired connects a client with a server that is told how many connections there
// were and when this one has gone.
func wired(serve func(n int, w io.Writer, gone <-chan struct{})) dialer {
	connections := 0
	return func(context.Context, string, string) (net.Conn, error) {
		here, there := net.Pipe()
		connections++
		n, gone := connections, make(chan struct{})
		go func() {
			defer there.Close()
			if _, err := http.ReadRequest(bufio.NewReader(there)); err != nil {
				return
			}
			go func() {
				io.Copy(io.Discard, there)
				close(gone)
			}()
			serve(n, there, gone)
		}()
		return here, nil
	}
}

// still waits until just before a client gives up, and reports whether it is still
// there. Its time is synctest's.
func still(gone <-chan struct{}) bool {
	select {
	case <-gone:
		return false
	case <-time.After(clientPatience.stall - time.Millisecond): // in a bubble
		return true
	}
}

func TestPatienceKeepsWhatCame(t *testing.T) {
	anna, user := newHouse(t), newHouse(t)
	p := newPackage(t, "winds", "1.0.0", "Anna Example", 40_000)
	const came = 10_000
	answer := func(w io.Writer, b []byte, n int) {
		fmt.Fprintf(w, "HTTP/1.1 200 OK\r\nContent-Length: %d\r\nConnection: close\r\n\r\n%s", n, b)
	}
	index, sig := indexOf(t, offerOf(p, anna.key.Public())), anna.sign(t, p)
	synctest.Test(t, func(t *testing.T) {
		dial := wired(func(n int, w io.Writer, gone <-chan struct{}) {
			switch n {
			case 1:
				answer(w, index, len(index))
			case 2:
				answer(w, sig, len(sig))
			default:
				answer(w, p.Bytes()[:came], len(p.Bytes()))
				<-gone
			}
		})
		_, err := newClient("studio", dial, clientPatience).pull(t.Context(), Request{Home: user.home, Name: "winds", Options: pack.Options{Ask: yes}})
		wantError(t, err, fmt.Sprintf("the transfer broke off after %d of %d bytes, which are kept: it sends nothing any more", came, len(p.Bytes())))
	})
}
