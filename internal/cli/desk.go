package cli

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"net"
	"net/netip"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"jobsheaf/internal/desk"
	"jobsheaf/internal/register"
	"jobsheaf/internal/users"

	"github.com/spf13/cobra"
)

// serving is what the desk command was asked for.
type serving struct {
	site, out, address string
	port               int
	noBrowser          bool
	cert, key          string
	behindProxy        bool
	names              []string
	addUser, role      string
	passwordStdin      bool
}

func deskCommand(s Streams) *cobra.Command {
	var d serving
	c := &cobra.Command{
		Use:   "desk",
		Short: "Serve the site's desk: pages in a browser on jobs, units and records",
		Long: `desk serves pages over a site's records and register: whether a page is current
(where the code on it leads), what became of a job, a unit's history and trends, where a
number comes from, what is wrong in the records. A week is printed there, and scans of
what came back are read. Nothing leaves the machine.

By itself it is reached from this machine alone, at 127.0.0.1, and whoever sits there may
read and write. On another address, or behind a proxy, only who signs in may read, and it
takes users (--add-user) and TLS: a certificate of its own, or a proxy that does it
(--behind-proxy). The pages of codes alone are answered to anybody: whoever asks holds the page.`,
		Example: `  jobsheaf desk --site works --out out
  jobsheaf desk --site works --add-user "Planner 1" --role planner
  jobsheaf desk --site works --address 0.0.0.0 --cert desk.pem --key desk.key
  jobsheaf desk --site works --behind-proxy --name jobs.example.org`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if cmd.Flags().Changed("add-user") {
				return addUser(s, d)
			}
			return runDesk(cmd.Context(), s, d)
		},
	}
	f := c.Flags()
	f.StringVar(&d.site, "site", ".", "the site's folder")
	f.StringVar(&d.out, "out", "", "the folder that packets are printed into; without it they are neither printed nor shown")
	f.StringVar(&d.address, "address", "127.0.0.1", "the address to be reached at; 0.0.0.0 for all of this machine")
	f.IntVar(&d.port, "port", 8414, "the port; 0 for any that is free")
	f.BoolVar(&d.noBrowser, "no-browser", false, "do not open the browser")
	f.StringVar(&d.cert, "cert", "", "the certificate for TLS, with its chain, as PEM")
	f.StringVar(&d.key, "key", "", "its private key")
	f.BoolVar(&d.behindProxy, "behind-proxy", false, "a proxy stands before it that does TLS and says who asks (X-Forwarded-For)")
	f.StringArrayVar(&d.names, "name", nil, "a name by which browsers call the desk, such as jobs.example.org; once for each")
	f.StringVar(&d.addUser, "add-user", "", "add somebody who may sign in, or give them another password, and do nothing else")
	f.StringVar(&d.role, "role", "", "what they do: planner, mechanic or auditor")
	f.BoolVar(&d.passwordStdin, "password-stdin", false, "read their password from standard input")
	completeFlags(c, map[string]completer{"site": folders, "out": folders, "role": first(func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return []string{string(users.Planner), string(users.Mechanic), string(users.Auditor)}, cobra.ShellCompDirectiveNoFileComp
	})})
	return c
}

func runDesk(ctx context.Context, s Streams, d serving) error {
	if _, err := openSite(d.site); err != nil {
		return err
	}
	who := &userFile{path: filepath.Join(d.site, users.FileName)}
	secret, err := d.allowed(who)
	if err != nil {
		return err
	}
	defer debug.SetGCPercent(debug.SetGCPercent(50)) // it stays for days on a machine that has other work
	ctx, stop := untilStopped(ctx)
	defer stop()
	r, err := register.Open(ctx, filepath.Join(d.site, register.FileName))
	if err != nil {
		return err
	}
	defer r.Close()
	in, err := os.OpenRoot(d.site) // no link leads out of it
	if err != nil {
		return err
	}
	defer in.Close()
	config := desk.Config{
		Register: r, Read: deskReads(d.site), Stamp: func() string { return stampOf(in.FS()) }, Users: who.read, Scans: in.FS(),
		Now: time.Now, Log: logTo(s.Err), SignIn: !d.onLoopback() || d.behindProxy, Secure: secret != nil || d.behindProxy, Proxied: d.behindProxy,
	}
	held, gone, err := heldIn()
	if err != nil {
		return err
	}
	defer gone()
	config.Back = deskBack(d.site, held)
	if d.out != "" {
		if err := os.MkdirAll(d.out, 0o755); err != nil {
			return err
		}
		config.Print = deskPrints(d.site, d.out, max(1, runtime.GOMAXPROCS(0)-1))
		out, err := os.OpenRoot(d.out)
		if err != nil {
			return fmt.Errorf("the folder of packets cannot be opened: %w", err)
		}
		defer out.Close()
		config.Packets = out.FS()
	}
	config.Hosts = d.hosts(secret)
	on, err := net.Listen("tcp", net.JoinHostPort(d.address, strconv.Itoa(d.port)))
	if err != nil {
		return fmt.Errorf("the desk cannot be opened; name another --port or --address: %w", err)
	}
	pages, err := desk.New(config)
	if err != nil {
		on.Close()
		return err
	}
	at := url.URL{Scheme: "http", Host: on.Addr().String(), Path: "/"}
	if secret != nil {
		at.Scheme = "https"
	}
	if _, err := fmt.Fprintf(s.Out, "%s\n", at.String()); err != nil {
		on.Close()
		return err
	}
	fmt.Fprintln(s.Err, "the desk is open at that address until you press Ctrl-C")
	if !d.noBrowser && d.onLoopback() {
		openBrowser(at.String())
	}
	if err := pages.Serve(ctx, on, secret); err != nil {
		return err
	}
	fmt.Fprintln(s.Err, "the desk is closed")
	return nil
}

// onLoopback reports whether the desk is reached from this machine alone.
func (d serving) onLoopback() bool {
	if d.address == "localhost" {
		return true
	}
	a, err := netip.ParseAddr(d.address)
	return err == nil && a.Unmap().IsLoopback()
}

// allowed reports why the desk may not be opened as it was asked, and gives what it needs
// for TLS, nil where it does none.
func (d serving) allowed(who *userFile) (*tls.Config, error) {
	list, err := who.read()
	if err != nil {
		return nil, err
	}
	if d.port < 0 || d.port > 65535 {
		return nil, fmt.Errorf("--port %d is outside 0 to 65535", d.port)
	}
	switch shut := d.onLoopback() && !d.behindProxy; {
	case (d.cert == "") != (d.key == ""):
		return nil, errors.New("--cert and --key go together")
	case d.cert != "" && d.behindProxy:
		return nil, errors.New("either the desk does TLS (--cert, --key) or a proxy before it does (--behind-proxy), not both")
	case !shut && len(list) == 0:
		return nil, fmt.Errorf("others could reach the desk, and nobody has to sign in: add somebody first, with `jobsheaf desk --site %s --add-user NAME --role planner`", d.site)
	case !shut && d.cert == "" && !d.behindProxy:
		return nil, errors.New("on another address than this machine's own, passwords would go through the network in the clear: give --cert and --key, or say --behind-proxy where a proxy does TLS")
	case d.cert == "":
		return nil, nil
	}
	pair, err := tls.LoadX509KeyPair(d.cert, d.key)
	if err != nil {
		return nil, fmt.Errorf("the certificate cannot be used: %w", err)
	}
	return &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12, NextProtos: []string{"http/1.1"}}, nil
}

// hosts says by which names browsers may call the desk. A page elsewhere whose name is
// made to lead to this machine would be taken for the desk's own otherwise; an address can
// not be made to lead elsewhere.
func (d serving) hosts(secret *tls.Config) func(string) bool {
	names := []string{"localhost"}
	for _, n := range append(slices.Clone(d.names), d.address) {
		names = append(names, strings.ToLower(n))
	}
	return func(host string) bool {
		if _, err := netip.ParseAddr(host); err == nil || slices.Contains(names, host) {
			return true
		}
		return secret != nil && secret.Certificates[0].Leaf != nil && secret.Certificates[0].Leaf.VerifyHostname(host) == nil
	}
}

// openBrowser opens an address in the browser of this machine, if it has one that shows
// itself.
func openBrowser(at string) {
	var cmd *exec.Cmd
	switch runtime.GOOS {
	case "windows":
		cmd = exec.Command("rundll32", "url.dll,FileProtocolHandler", at)
	case "darwin":
		cmd = exec.Command("open", at)
	default:
		if os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
			return
		}
		cmd = exec.Command("xdg-open", at)
	}
	if cmd.Start() == nil {
		go cmd.Wait()
	}
}

// logTo writes what happens to the desk, a line each, with the time.
func logTo(w io.Writer) func(string, ...any) {
	var mu sync.Mutex
	return func(format string, a ...any) {
		mu.Lock()
		defer mu.Unlock()
		fmt.Fprintf(w, "%s %s\n", time.Now().Format(time.DateTime), fmt.Sprintf(format, a...))
	}
}
