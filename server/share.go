package server

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	_ "embed"
	"fmt"
	"math/big"
	"net"
	"net/http"
	"strings"
	"sync"
	"time"

	"hardnoon/api"
)

// Limits of pairing. A code is one of a million; in the life of one, five
// guesses a minute are fifty.
const (
	codeLife    = 10 * time.Minute
	pairingLife = 12 * time.Hour // a long day
	mostWrong   = 5              // in a row, then the door is shut
	shut        = time.Minute
	mostPaired  = 20 // devices at a time
	cookieName  = "hardnoon"
)

// Sharing is what the local network may see: one address over TLS, behind a
// pairing code. Pairings are kept in memory: they end with the program.
type Sharing struct {
	address     string // "192.168.1.5:7742"
	fingerprint string // of the certificate authority, SHA-256
	authority   []byte // its certificate, DER, for the phone to install
	now         func() time.Time

	mu        sync.Mutex
	code      string
	codeEnds  time.Time
	wrong     int
	shutUntil time.Time
	paired    map[[32]byte]time.Time // hash of the cookie, and when it ends
}

// Share opens sharing at the address ("192.168.1.5:7742") with the certificate
// of c. now is the clock.
func Share(address string, c *Certificate, now func() time.Time) *Sharing {
	s := &Sharing{address: address, fingerprint: c.Fingerprint(), authority: c.authority.Raw, now: now, paired: map[[32]byte]time.Time{}}
	s.NewCode()
	return s
}

// NewCode returns a fresh pairing code and when it ends; the one before is void.
func (s *Sharing) NewCode() (code string, ends time.Time) {
	n, err := rand.Int(rand.Reader, big.NewInt(1e6))
	if err != nil {
		panic(err) // the system's own source; documented never to fail
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.code, s.codeEnds = fmt.Sprintf("%06d", n), s.now().Add(codeLife)
	return s.code, s.codeEnds
}

// URL is what the phone opens; with the code behind #, which is not sent.
func (s *Sharing) URL() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return "https://" + s.address + "/pair#" + s.code
}

// Fingerprint is that of the certificate a phone would install.
func (s *Sharing) Fingerprint() string { return s.fingerprint }

func (s *Sharing) isName(host string) bool {
	own, _, _ := net.SplitHostPort(s.address)
	return strings.Trim(host, "[]") == strings.Trim(own, "[]")
}

type shareAnswer struct {
	Address     string    `json:"address"`
	Code        string    `json:"code"`
	CodeEnds    time.Time `json:"code_ends_at"`
	URL         string    `json:"url"`
	Fingerprint string    `json:"certificate_sha256"`
	Paired      int       `json:"paired" doc:"devices"`
}

// show tells this machine, and no other, how to pair a phone.
func (s *Sharing) show(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	a := shareAnswer{Address: s.address, Code: s.code, CodeEnds: s.codeEnds, Fingerprint: s.fingerprint, Paired: len(s.paired)}
	s.mu.Unlock()
	a.URL = s.URL()
	w.Header().Set("Cache-Control", "no-store")
	send(w, http.StatusOK, a)
}

func (s *Sharing) renew(w http.ResponseWriter, r *http.Request) {
	s.NewCode()
	s.show(w, r)
}

// wrongCode is an answer to a code that pairs nobody.
type wrongCode struct {
	*api.Error
	wait time.Duration
}

// pair trades a code for a cookie.
func (s *Sharing) pair(code string) (cookie string, ends time.Time, bad *wrongCode) {
	s.mu.Lock()
	defer s.mu.Unlock()
	now := s.now()
	if wait := s.shutUntil.Sub(now); wait > 0 {
		return "", ends, &wrongCode{&api.Error{Code: "too_many", Text: fmt.Sprintf("%d codes were wrong", mostWrong), Hint: fmt.Sprintf("wait %.0f seconds", wait.Seconds()+0.5)}, wait}
	}
	for id, end := range s.paired {
		if now.After(end) {
			delete(s.paired, id)
		}
	}
	switch {
	case len(s.paired) >= mostPaired:
		return "", ends, &wrongCode{&api.Error{Code: "too_many", Text: fmt.Sprintf("%d devices are paired already", mostPaired), Hint: "start hardnoon anew to forget them"}, time.Hour}
	case now.After(s.codeEnds):
		return "", ends, &wrongCode{&api.Error{Code: "code_expired", Field: "code", Text: "this code has expired", Hint: "ask hardnoon on the computer for a new one"}, 0}
	case code != s.code: // how long it takes tells nothing that five guesses would use
		if s.wrong++; s.wrong >= mostWrong {
			s.wrong, s.shutUntil = 0, now.Add(shut)
		}
		return "", ends, &wrongCode{&api.Error{Code: "wrong_code", Field: "code", Text: "this is not the code", Hint: "it is the six digits that hardnoon shows on the computer"}, 0}
	}
	s.wrong = 0
	cookie, ends = rand.Text(), now.Add(pairingLife)
	s.paired[sha256.Sum256([]byte(cookie))] = ends
	return cookie, ends, nil
}

// until returns when the pairing of a request ends; the zero time: there is none.
func (s *Sharing) until(r *http.Request) time.Time {
	c, err := r.Cookie(cookieName)
	if err != nil {
		return time.Time{}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if end := s.paired[sha256.Sum256([]byte(c.Value))]; s.now().Before(end) {
		return end
	}
	return time.Time{}
}

//go:embed pair.html
var pairPage []byte

//go:embed pair.js
var pairScript []byte

//go:embed pair.css
var pairStyle []byte

type pairAnswer struct {
	Until time.Time `json:"paired_until"`
}

// door lets in who is paired. Before it everybody finds the page that pairs,
// and the certificate to install.
func (s *Sharing) door(inside http.Handler) http.Handler {
	mux := http.NewServeMux()
	asset := func(path, kind string, data []byte) {
		mux.HandleFunc("GET "+path, func(w http.ResponseWriter, r *http.Request) {
			w.Header().Set("Content-Type", kind)
			w.Header().Set("Cache-Control", "no-store")
			w.Write(data)
		})
	}
	asset("/pair", "text/html; charset=utf-8", pairPage)
	asset("/pair.js", "text/javascript; charset=utf-8", pairScript)
	asset("/pair.css", "text/css; charset=utf-8", pairStyle)
	asset("/pair.crt", "application/x-x509-ca-cert", s.authority)
	mux.HandleFunc("POST /pair", func(w http.ResponseWriter, r *http.Request) {
		data, err := body(w, r, 1<<10)
		req, derr := api.Decode[struct {
			Code string `json:"code"`
		}](data)
		if err == nil {
			err = derr
		}
		if err != nil {
			e := api.FailureOf(err).Error
			fail(w, statusOf(e), e)
			return
		}
		cookie, ends, bad := s.pair(req.Code)
		if bad != nil {
			status := http.StatusUnauthorized
			if bad.wait > 0 {
				status = http.StatusTooManyRequests
				w.Header().Set("Retry-After", fmt.Sprintf("%.0f", bad.wait.Seconds()+0.5))
			}
			fail(w, status, bad.Error)
			return
		}
		http.SetCookie(w, &http.Cookie{Name: cookieName, Value: cookie, Path: "/", Expires: ends, Secure: true, HttpOnly: true, SameSite: http.SameSiteStrictMode})
		w.Header().Set("Cache-Control", "no-store")
		send(w, http.StatusOK, pairAnswer{ends.UTC().Truncate(time.Second)})
	})
	mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		end := s.until(r)
		switch {
		case !end.IsZero():
			// What is still open then, an event stream, ends with the pairing.
			ctx, cancel := context.WithTimeout(r.Context(), end.Sub(s.now()))
			defer cancel()
			inside.ServeHTTP(w, r.WithContext(ctx))
		case r.Method == http.MethodGet && strings.Contains(r.Header.Get("Accept"), "text/html"):
			http.Redirect(w, r, "/pair", http.StatusSeeOther)
		default:
			fail(w, http.StatusUnauthorized, &api.Error{Code: "not_paired", Text: "this device is not paired, or no longer", Hint: "open /pair and give the six digits"})
		}
	})
	return mux
}
