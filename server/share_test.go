package server

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"hardnoon/store/storetest"
)

// A phone that installed the certificate pairs and works; one without a code
// gets no further than the door.
func TestShare(t *testing.T) {
	clock := time.Now()
	now := func() time.Time { return clock }
	cert, err := OpenCertificate(t.TempDir(), now)
	if err != nil {
		t.Fatal(err)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	sharing := Share(l.Addr().String(), cert, now)
	s := newServer(t, &storetest.Memory{}, sharing)
	conf, err := cert.For(net.ParseIP("127.0.0.1"))
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error)
	go func() { ended <- s.Serve(ctx, tls.NewListener(l, conf), s.Shared()) }()
	defer func() { stop(); <-ended }()

	pool := x509.NewCertPool()
	pool.AddCert(cert.authority)
	phone := func() *http.Client {
		jar, _ := cookiejar.New(nil)
		return &http.Client{Jar: jar, Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool}}, Timeout: 10 * time.Second}
	}
	base := "https://" + l.Addr().String()
	do := func(c *http.Client, method, path, body string) (int, string) {
		t.Helper()
		r, _ := http.NewRequest(method, base+path, strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		w, err := c.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		defer w.Body.Close()
		data, _ := io.ReadAll(w.Body)
		return w.StatusCode, string(data)
	}
	mine, stranger := phone(), phone()
	for _, path := range []string{"/", "/api/sessions", "/api/events", "/openapi.json", "/api/share", "/engine.wasm"} {
		if status, text := do(stranger, "GET", path, ""); status != 401 || !strings.Contains(text, "not_paired") {
			t.Errorf("%s without a pairing: %d %s", path, status, text)
		}
	}
	if status, page := do(mine, "GET", "/pair", ""); status != 200 || !strings.Contains(page, "six digits") {
		t.Errorf("the door: %d %s", status, page)
	}
	if _, der := do(mine, "GET", "/pair.crt", ""); !bytes.Equal([]byte(der), cert.authority.Raw) {
		t.Error("the certificate at the door is another one")
	}
	for _, bad := range []string{`{"code":""}`, `{}`, `{"code":"12345"}`} {
		if status, text := do(mine, "POST", "/pair", bad); status != 401 || !strings.Contains(text, "wrong_code") {
			t.Errorf("%s: %d %s", bad, status, text)
		}
	}
	if status, text := do(mine, "POST", "/pair", "code=123456"); status != 400 {
		t.Errorf("not JSON: %d %s", status, text)
	}
	code, _ := sharing.NewCode()
	if status, text := do(mine, "POST", "/pair", `{"code":"`+code+`"}`); status != 200 || !strings.Contains(text, "paired_until") {
		t.Fatalf("pairing: %d %s", status, text)
	}
	if status, text := do(mine, "GET", "/api/sessions", ""); status != 200 {
		t.Errorf("paired: %d %s", status, text)
	}
	if status, _ := do(mine, "GET", "/api/share", ""); status != 404 {
		t.Errorf("a phone sees the code: %d", status)
	}
	// Guessing shuts the door, even for the right code; then it opens again.
	wrong := "000000"
	if wrong == code {
		wrong = "000001"
	}
	for range mostWrong {
		do(stranger, "POST", "/pair", `{"code":"`+wrong+`"}`)
	}
	if status, text := do(stranger, "POST", "/pair", `{"code":"`+code+`"}`); status != 429 || !strings.Contains(text, "too_many") {
		t.Errorf("after guessing: %d %s", status, text)
	}
	clock = clock.Add(shut + time.Second)
	if status, text := do(stranger, "POST", "/pair", `{"code":"`+code+`"}`); status != 200 {
		t.Errorf("after a minute: %d %s", status, text)
	}
	clock = clock.Add(codeLife)
	if status, text := do(stranger, "POST", "/pair", `{"code":"`+code+`"}`); status != 401 || !strings.Contains(text, "code_expired") {
		t.Errorf("an old code: %d %s", status, text)
	}
	clock = clock.Add(pairingLife)
	if status, _ := do(mine, "GET", "/api/sessions", ""); status != 401 {
		t.Errorf("after a long day: %d", status)
	}
	// This machine sees the code, and can make a new one.
	b := browser{t, s.Local()}
	var a shareAnswer
	json.Unmarshal(b.want(200, "", "POST", "/api/share/code", "").Body.Bytes(), &a)
	if len(a.Code) != 6 || a.Code == code || a.URL != base+"/pair#"+a.Code || a.Fingerprint != cert.Fingerprint() {
		t.Errorf("share: %+v", a)
	}
	b.want(200, "", "GET", "/api/share", "")
	// The network's name is not this machine's.
	if w := (browser{t, s.Shared()}).ask("GET", "/pair", "", "Host", "evil.example"); w.Code != http.StatusMisdirectedRequest {
		t.Errorf("another name: %d", w.Code)
	}
}

func TestCertificateIsKept(t *testing.T) {
	clock, dir := time.Date(2027, 1, 10, 12, 0, 0, 0, time.UTC), t.TempDir()
	now := func() time.Time { return clock }
	a, err := OpenCertificate(dir, now)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, authorityFile)
	if info, err := os.Stat(path); err != nil || os.PathSeparator == '/' && info.Mode().Perm() != 0o600 {
		t.Errorf("%v %v", info.Mode(), err)
	}
	if b, err := OpenCertificate(dir, now); err != nil || b.Fingerprint() != a.Fingerprint() || len(a.Fingerprint()) != 95 {
		t.Errorf("the second time: %v %v", b, err)
	}
	// It cannot speak for an address of the open network.
	conf, err := a.For(net.ParseIP("8.8.8.8"))
	if err != nil {
		t.Fatal(err)
	}
	leaf, _ := x509.ParseCertificate(conf.Certificates[0].Certificate[0])
	pool := x509.NewCertPool()
	pool.AddCert(a.authority)
	if _, err := leaf.Verify(x509.VerifyOptions{Roots: pool, CurrentTime: clock}); err == nil {
		t.Error("it vouches for 8.8.8.8")
	}
	if IsPrivate(net.ParseIP("8.8.8.8")) || !IsPrivate(net.ParseIP("192.168.1.5")) || !IsPrivate(net.ParseIP("172.31.0.1")) || IsPrivate(net.ParseIP("172.32.0.1")) {
		t.Error("IsPrivate")
	}
	clock = clock.Add(authorityLife)
	b, err := OpenCertificate(dir, now)
	if err != nil || b.Fingerprint() == a.Fingerprint() {
		t.Errorf("after its life: %v", err)
	}
	if kept, _ := filepath.Glob(path + ".*"); len(kept) != 1 {
		t.Errorf("the old one: %v", kept)
	}
	os.WriteFile(path, []byte("not a certificate"), 0o600)
	if _, err := OpenCertificate(dir, now); err == nil {
		t.Error("read nonsense")
	}
}
