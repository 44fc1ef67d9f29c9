package server

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Certificate is an authority of the workspace's own, and what it signs for an
// address. A phone that installs the authority trusts it for addresses of
// private networks alone: that is written into it, so that a stolen key could
// not speak for any other site.
type Certificate struct {
	authority *x509.Certificate
	key       *ecdsa.PrivateKey
	now       func() time.Time
}

const (
	authorityLife = 5 * 365 * 24 * time.Hour
	leafLife      = 90 * 24 * time.Hour // well below what phones refuse, and made anew at each start
)

// authorityFile lies beside the workspace, readable by its owner alone.
const authorityFile = "hardnoon-certificate.pem"

// OpenCertificate reads the authority kept in folder, or makes it.
func OpenCertificate(folder string, now func() time.Time) (*Certificate, error) {
	path := filepath.Join(folder, authorityFile)
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return makeCertificate(path, now)
	}
	if err != nil {
		return nil, err
	}
	c := &Certificate{now: now}
	for {
		var block *pem.Block
		if block, text = pem.Decode(text); block == nil {
			break
		}
		switch block.Type {
		case "CERTIFICATE":
			c.authority, err = x509.ParseCertificate(block.Bytes)
		case "EC PRIVATE KEY":
			c.key, err = x509.ParseECPrivateKey(block.Bytes)
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
	}
	switch {
	case c.authority == nil || c.key == nil || !c.key.PublicKey.Equal(c.authority.PublicKey):
		return nil, fmt.Errorf("%s does not hold a certificate and its key", path)
	case now().Add(leafLife).After(c.authority.NotAfter):
		// Kept under another name: nothing is deleted, and phones trust the new one anew.
		if err := os.Rename(path, path+"."+c.authority.NotAfter.Format("2006-01-02")); err != nil {
			return nil, err
		}
		return makeCertificate(path, now)
	}
	return c, nil
}

func makeCertificate(path string, now func() time.Time) (*Certificate, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	template := &x509.Certificate{
		SerialNumber: serial(), Subject: pkix.Name{CommonName: "hardnoon on this computer, " + now().Format("2006-01-02")},
		NotBefore: now().Add(-24 * time.Hour), NotAfter: now().Add(authorityLife),
		IsCA: true, BasicConstraintsValid: true, MaxPathLenZero: true, KeyUsage: x509.KeyUsageCertSign,
		PermittedDNSDomainsCritical: true, PermittedDNSDomains: []string{"local"}, PermittedIPRanges: privateRanges(),
		ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	if err != nil {
		return nil, err
	}
	cert, err := x509.ParseCertificate(der)
	if err != nil {
		return nil, err
	}
	secret, err := x509.MarshalECPrivateKey(key)
	if err != nil {
		return nil, err
	}
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return nil, err
	}
	err = errors.Join(
		pem.Encode(f, &pem.Block{Type: "CERTIFICATE", Bytes: der}),
		pem.Encode(f, &pem.Block{Type: "EC PRIVATE KEY", Bytes: secret}),
		f.Sync(), f.Close())
	return &Certificate{cert, key, now}, err
}

// privateRanges are the addresses of networks at home (RFC 1918, RFC 3927, RFC
// 4193, RFC 4291) and of this machine.
func privateRanges() []*net.IPNet {
	var all []*net.IPNet
	for _, s := range []string{"10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8", "fc00::/7", "fe80::/10", "::1/128"} {
		_, n, err := net.ParseCIDR(s)
		if err != nil {
			panic(err) // they stand above
		}
		all = append(all, n)
	}
	return all
}

// IsPrivate reports whether an address belongs to a network at home.
func IsPrivate(ip net.IP) bool {
	for _, n := range privateRanges() {
		if n.Contains(ip) {
			return true
		}
	}
	return false
}

func serial() *big.Int {
	n, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 120))
	if err != nil {
		panic(err) // the system's own source; documented never to fail
	}
	return n
}

// For returns what a server at ip shows.
func (c *Certificate) For(ip net.IP) (*tls.Config, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	template := &x509.Certificate{
		SerialNumber: serial(), Subject: pkix.Name{CommonName: "hardnoon"},
		NotBefore: c.now().Add(-time.Hour), NotAfter: c.now().Add(leafLife),
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		IPAddresses: []net.IP{ip},
	}
	der, err := x509.CreateCertificate(rand.Reader, template, c.authority, &key.PublicKey, c.key)
	if err != nil {
		return nil, err
	}
	return &tls.Config{MinVersion: tls.VersionTLS12, Certificates: []tls.Certificate{{Certificate: [][]byte{der, c.authority.Raw}, PrivateKey: key}}}, nil
}

// Fingerprint is the SHA-256 of the authority as phones show it.
func (c *Certificate) Fingerprint() string {
	sum := sha256.Sum256(c.authority.Raw)
	return strings.TrimSpace(strings.ReplaceAll(fmt.Sprintf("% X", sum[:]), " ", ":"))
}
