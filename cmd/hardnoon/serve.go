package main

import (
	"bufio"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"github.com/skip2/go-qrcode"
	"github.com/spf13/cobra"

	"hardnoon/api"
	"hardnoon/app"
	"hardnoon/place"
	"hardnoon/server"
	"hardnoon/store/sqlite"
)

func serveCommand(t *terminal) *cobra.Command {
	var f serveFlags
	c := &cobra.Command{
		Use:   "serve",
		Short: "the web app for this computer, and for a phone beside it",
		Example: `  hardnoon serve
  hardnoon serve --workspace season.hardnoon --with demo/javelin.json
  hardnoon serve --share`,
		Long: `It answers this computer alone until it is interrupted. Sessions are kept in the
workspace, one file, and every change is on the disk at once; "hardnoon backup" copies it.
--share opens a second door to the local network, encrypted and behind six digits.
exit codes: 0 interrupted; 1 the address is in use, or the workspace cannot be opened;
2 wrong usage, or something in the session file is wrong`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			ctx, stop := signal.NotifyContext(c.Context(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			return t.serve(ctx, f)
		},
	}
	c.Flags().StringVar(&f.workspace, "workspace", "", "the file sessions are kept in (in the folder for settings)")
	c.Flags().StringVar(&f.addr, "addr", "127.0.0.1:7741", "address on this computer")
	c.Flags().StringVar(&f.with, "with", "", "a session file to begin with, unless a session of its id is there")
	c.Flags().BoolVar(&f.share, "share", false, "let phones on the local network pair")
	c.Flags().StringVar(&f.shareAt, "share-at", "", "address on the local network (the first there is, port 7742)")
	return c
}

type serveFlags struct {
	workspace, addr, with, shareAt string
	share                          bool
}

// served says where the app is.
type served struct {
	Address   string       `json:"address"`
	Workspace string       `json:"workspace"`
	Share     *sharedPhone `json:"share,omitempty"`
}

type sharedPhone struct {
	URL         string    `json:"url"`
	Code        string    `json:"code"`
	CodeEnds    time.Time `json:"code_ends_at"`
	Fingerprint string    `json:"certificate_sha256"`
}

func (t *terminal) serve(ctx context.Context, f serveFlags) error {
	if ctx == nil {
		ctx = context.Background()
	}
	host, _, err := net.SplitHostPort(f.addr)
	if ip := net.ParseIP(host); err != nil || host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return usage(fmt.Sprintf("--addr is %q; it takes an address of this computer alone", f.addr), "write it like 127.0.0.1:7741; for phones, say --share")
	}
	store, err := openWorkspace(ctx, f.workspace, true)
	if err != nil {
		return err
	}
	defer store.Close()
	workspace := app.NewWorkspace(store, time.Now)
	if err := t.beginWith(ctx, workspace, f.with); err != nil {
		return err
	}
	l, err := listen(f.addr, "--addr")
	if err != nil {
		return err
	}
	defer l.Close()
	said := served{Address: "http://" + l.Addr().String() + "/", Workspace: store.Path()}
	o := server.Options{Workspace: workspace, Name: filepath.Base(store.Path()), Version: version(), Places: places, Log: t.err}
	var lan net.Listener
	if f.share || f.shareAt != "" {
		if lan, o.Sharing, err = share(f.shareAt, filepath.Dir(store.Path())); err != nil {
			return err
		}
		defer lan.Close()
		said.Share = phoneOf(o.Sharing)
	}
	s, err := server.New(o)
	if err != nil {
		return err
	}
	if err := t.answer(said, func(w io.Writer) { sayServed(w, said) }); err != nil {
		return err
	}
	if !s.HasEngine() {
		t.notes([]api.Note{{Code: "no_browser_engine", Severity: "caution", Text: "this hardnoon was built without its engine for the browser: the page asks it for everything, renders no picture and needs it all the time",
			Hint: `"go run ./dev web", then build again`}})
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	ended := make(chan error, 2)
	doors := 1
	go func() { ended <- s.Serve(ctx, l, s.Local()) }()
	if lan != nil {
		doors++
		go func() { ended <- s.Serve(ctx, lan, s.Shared()) }()
		go t.newCodes(ctx, o.Sharing)
	}
	err = nil
	for range doors { // when one door fails the other closes too
		err = errors.Join(err, <-ended)
		stop()
	}
	return err
}

// openWorkspace opens the named workspace, or the usual one; made says whether
// a new one may be made.
func openWorkspace(ctx context.Context, path string, made bool) (*sqlite.Store, error) {
	if path == "" {
		folder, err := os.UserConfigDir()
		if err != nil {
			return nil, usage("this computer has no folder for settings: "+err.Error(), "say --workspace FILE")
		}
		folder = filepath.Join(folder, "hardnoon")
		if made {
			if err := os.MkdirAll(folder, 0o700); err != nil {
				return nil, err
			}
		}
		path = filepath.Join(folder, "workspace.hardnoon")
	}
	if _, err := os.Stat(path); !made && errors.Is(err, fs.ErrNotExist) {
		return nil, &api.Error{Kind: api.Broken, Code: "no_such_file", Text: "there is no workspace " + path, Hint: `"hardnoon serve" makes one`, Cause: os.ErrNotExist}
	}
	store, err := sqlite.Open(ctx, path)
	var foreign *sqlite.ForeignError
	var newer *sqlite.NewerError
	switch {
	case errors.As(err, &foreign):
		return nil, usage(path+" is not a workspace; it was left as it is", "a workspace is made by \"hardnoon serve\"; a session file is read with --with")
	case errors.As(err, &newer):
		return nil, usage(fmt.Sprintf("%s is of version %d; this hardnoon knows versions up to %d", path, newer.Has, newer.Knows), "use a newer hardnoon")
	case err != nil:
		return nil, &api.Error{Kind: api.Broken, Code: "workspace", Text: "the workspace cannot be opened: " + err.Error(), Hint: "check the folder and its permissions: " + path, Cause: err}
	}
	return store, nil
}

// beginWith stores a session file unless a session of its id is there.
func (t *terminal) beginWith(ctx context.Context, w *app.Workspace, name string) error {
	if name == "" {
		return nil
	}
	f, err := t.open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	return w.Begin(ctx, f)
}

func listen(addr, flag string) (net.Listener, error) {
	l, err := net.Listen("tcp", addr)
	switch {
	case errors.Is(err, syscall.EADDRINUSE):
		return nil, &api.Error{Kind: api.Broken, Code: "address_in_use", Text: "something answers at " + addr + " already", Hint: "is hardnoon running? else take another port with " + flag, Cause: err}
	case err != nil:
		return nil, usage(fmt.Sprintf("%s is %q: %v", flag, addr, err), "write it like 127.0.0.1:7741")
	}
	return l, nil
}

// share opens the door to the local network.
func share(addr, folder string) (net.Listener, *server.Sharing, error) {
	if addr == "" {
		ip, err := ownAddress()
		if err != nil {
			return nil, nil, err
		}
		addr = net.JoinHostPort(ip.String(), "7742")
	}
	host, _, err := net.SplitHostPort(addr)
	ip := net.ParseIP(host)
	if err != nil || ip == nil || !server.IsPrivate(ip) {
		return nil, nil, usage(fmt.Sprintf("--share-at is %q; it takes an address of a network at home", addr), "write it like 192.168.1.5:7742; an address of the open network is refused")
	}
	certificate, err := server.OpenCertificate(folder, time.Now)
	if err != nil {
		return nil, nil, &api.Error{Kind: api.Broken, Code: "certificate", Text: "the certificate for phones cannot be used: " + err.Error(), Hint: "move the file away and a new one is made; phones then have to trust it anew", Cause: err}
	}
	conf, err := certificate.For(ip)
	if err != nil {
		return nil, nil, err
	}
	l, err := listen(addr, "--share-at")
	if err != nil {
		return nil, nil, err
	}
	return tls.NewListener(l, conf), server.Share(l.Addr().String(), certificate, time.Now), nil
}

// ownAddress is the first address this computer has on a network at home.
func ownAddress() (net.IP, error) {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil, err
	}
	for _, a := range all {
		if n, ok := a.(*net.IPNet); ok && !n.IP.IsLoopback() && n.IP.To4() != nil && server.IsPrivate(n.IP) {
			return n.IP, nil
		}
	}
	return nil, &api.Error{Kind: api.NoAnswer, Code: "no_network", Text: "this computer is on no local network", Hint: "join one, or let the phone make one, then start again"}
}

func phoneOf(s *server.Sharing) *sharedPhone {
	code, ends := s.NewCode()
	return &sharedPhone{URL: s.URL(), Code: code, CodeEnds: ends, Fingerprint: s.Fingerprint()}
}

// newCodes makes a new code whenever somebody presses Enter.
func (t *terminal) newCodes(ctx context.Context, s *server.Sharing) {
	lines := bufio.NewScanner(t.in)
	for lines.Scan() && ctx.Err() == nil {
		p := phoneOf(s)
		t.answer(p, func(w io.Writer) { sayPhone(w, p) })
	}
}

// places finds places for the app.
func places(_ context.Context, text string) ([]server.Place, error) {
	found, others, err := place.Find(text)
	var many *place.AmbiguousError
	switch {
	case errors.As(err, &many):
		others = many.Places
	case err != nil:
		return nil, placeError(err)
	default:
		others = append([]place.Place{found}, others...)
	}
	const most = 8
	var out []server.Place
	for _, p := range others[:min(most, len(others))] {
		from := "town"
		if p.Country == "" {
			from = "coordinates"
		}
		a := answerPlace(p, from)
		if err := a.locate("", ""); err != nil {
			return nil, placeError(err)
		}
		out = append(out, server.Place{Name: p.String(), LatDeg: a.LatDeg, LonDeg: a.LonDeg, ElevationM: a.ElevationM, Zone: a.Zone, From: from})
	}
	return out, nil
}

func sayServed(w io.Writer, s served) {
	c := columns(w)
	fmt.Fprintf(c, "open\t%s\n", s.Address)
	fmt.Fprintf(c, "kept in\t%s\n", s.Workspace)
	c.Flush()
	if s.Share != nil {
		sayPhone(w, s.Share)
		fmt.Fprintln(w, "Enter makes a new code.")
	}
	fmt.Fprintln(w, "Ctrl-C ends it; everything is saved.")
}

// sayPhone tells what to do with the phone, and what it will show.
func sayPhone(w io.Writer, p *sharedPhone) {
	base, _, _ := strings.Cut(p.URL, "#")
	c := columns(w)
	fmt.Fprintf(c, "phone\t%s\n", base)
	fmt.Fprintf(c, "code\t%s %s   until %s\n", p.Code[:3], p.Code[3:], p.CodeEnds.Format("15:04"))
	c.Flush()
	fmt.Fprintf(w, `
The phone will warn that the connection is not private, or that it does not know
this certificate. That is so: this computer made it. Go on only if the address
is the one above. To work later without this computer, install the certificate
that the page offers. Its SHA-256 fingerprint is
%s

`, twoLines(p.Fingerprint))
	if code, err := qrcode.New(p.URL, qrcode.Low); err == nil {
		fmt.Fprintln(w, code.ToSmallString(false))
	}
}

// twoLines breaks a fingerprint where an eye can keep its place.
func twoLines(s string) string {
	half := (len(s) + 1) / 2
	return "  " + s[:half] + "\n  " + s[half:]
}
