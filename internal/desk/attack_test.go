package desk_test

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"io"
	"math/big"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"jobsheaf/internal/users"
)

const password = "four words in a row"

// withUsers adds a planner, a mechanic and an auditor to a site.
func withUsers(t testing.TB) func(site string) {
	return func(site string) {
		for name, role := range map[string]string{"Paula": "planner", "Marco": "mechanic", "Aud": "auditor"} {
			if _, errs, err := command(t, password+"\n", "desk", "--site", site, "--add-user", name, "--role", role, "--password-stdin"); err != nil {
				t.Fatal(err, errs)
			}
		}
	}
}

// enters signs somebody in.
func (o *opened) enters(name string) *http.Client {
	o.t.Helper()
	c := browser(o.t)
	status, _, _ := o.post(c, "/sign-in", "/sign-in", url.Values{"name": {name}, "password": {password}})
	if status != http.StatusOK { // of the page that it leads to
		o.t.Fatalf("%s was not let in: %d", name, status)
	}
	return c
}

// send sends a request as it is.
func (o *opened) send(method, path string, header map[string]string, body string) (int, string, http.Header) {
	o.t.Helper()
	r, err := http.NewRequest(method, o.url+path, strings.NewReader(body))
	must(o.t, err)
	for k, v := range header {
		if k == "Host" {
			r.Host = v
		}
		r.Header.Set(k, v)
	}
	c := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }, Timeout: 20 * time.Second}
	res, err := c.Do(r)
	must(o.t, err)
	return read(o.t, res)
}

// On another address than this machine's own, the desk does not open without users and TLS.
func TestOpenToOthers(t *testing.T) {
	from, err := demo()
	must(t, err)
	bare := filepath.Join(from, "site")
	known := filepath.Join(t.TempDir(), "site")
	must(t, os.CopyFS(known, os.DirFS(bare)))
	withUsers(t)(known)
	if info, err := os.Stat(filepath.Join(known, users.FileName)); err != nil || runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("the file of users has the mode %v, %v", info.Mode(), err)
	}
	wide := filepath.Join(t.TempDir(), "site")
	must(t, os.CopyFS(wide, os.DirFS(known)))
	must(t, os.Chmod(filepath.Join(wide, users.FileName), 0o644))
	for _, c := range []struct {
		site string
		args []string
		says string
	}{
		{bare, []string{"--address", "0.0.0.0"}, "nobody has to sign in"},
		{bare, []string{"--address", "::"}, "nobody has to sign in"},
		{bare, []string{"--address", "192.0.2.1"}, "nobody has to sign in"},
		{bare, []string{"--behind-proxy"}, "nobody has to sign in"},
		{known, []string{"--address", "0.0.0.0"}, "in the clear"},
		{known, []string{"--address", "0.0.0.0", "--cert", "x.pem"}, "go together"},
		{known, []string{"--address", "0.0.0.0", "--cert", "x.pem", "--key", "y.pem"}, "cannot be used"},
		{known, []string{"--behind-proxy", "--cert", "x.pem", "--key", "y.pem"}, "not both"},
		{wide, nil, "make it 0600"},
		{bare, []string{"--port", "70000"}, "outside 0 to 65535"},
		{bare, []string{"--add-user", "A", "--role", "chief", "--password-stdin"}, "planner, mechanic or auditor, and not"},
		{bare, []string{"--add-user", "A", "--role", "planner", "--password-stdin"}, "take 12 at least"},
		{bare, []string{"--add-user", "A", "--role", "planner"}, "no terminal"},
	} {
		_, errs, err := command(t, "short\n", append([]string{"desk", "--site", c.site, "--no-browser"}, c.args...)...)
		if err == nil || !strings.Contains(err.Error()+errs, c.says) {
			t.Errorf("%v: %v %s", c.args, err, errs)
		}
	}
	if _, err := os.Stat(filepath.Join(bare, users.FileName)); err == nil {
		t.Error("a user that was refused was written")
	}
}

// By TLS the cookie is kept from everything else.
func TestTLS(t *testing.T) {
	cert, key := certificate(t, "desk.example.org")
	o := open(t, withUsers(t), "--cert", cert, "--key", key)
	c := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	res, err := c.Get(o.url + "/sign-in")
	must(t, err)
	status, _, header := read(t, res)
	cookie := header.Get("Set-Cookie")
	if status != 200 || !strings.HasPrefix(cookie, "__Host-desk=") || !strings.Contains(cookie, "Secure") || !strings.Contains(cookie, "HttpOnly") || !strings.Contains(cookie, "SameSite=Strict") {
		t.Errorf("%d %s", status, cookie)
	}
	if header.Get("Strict-Transport-Security") == "" {
		t.Error("a browser may come back in the clear")
	}
	old := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true, MaxVersion: tls.VersionTLS11}}}
	if _, err := old.Get(o.url); err == nil {
		t.Error("TLS 1.1 is spoken")
	}
	for host, want := range map[string]int{"desk.example.org": 200, "evil.example.net": http.StatusMisdirectedRequest} {
		r, err := http.NewRequest(http.MethodGet, o.url+"/sign-in", nil)
		must(t, err)
		r.Host = host
		res, err := c.Do(r)
		must(t, err)
		if status, _, _ := read(t, res); status != want {
			t.Errorf("called %s: %d, want %d", host, status, want)
		}
	}
}

func certificate(t testing.TB, name string) (cert, key string) {
	k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	must(t, err)
	of := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: name}, DNSNames: []string{name}, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour)}
	raw, err := x509.CreateCertificate(rand.Reader, of, of, &k.PublicKey, k)
	must(t, err)
	private, err := x509.MarshalPKCS8PrivateKey(k)
	must(t, err)
	cert, key = filepath.Join(t.TempDir(), "cert.pem"), filepath.Join(t.TempDir(), "key.pem")
	must(t, os.WriteFile(cert, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: raw}), 0o644))
	must(t, os.WriteFile(key, pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: private}), 0o600))
	return cert, key
}

// Where there are users, nobody else reads or writes; the answer to a code is for anybody.
func TestSigningIn(t *testing.T) {
	o := open(t, withUsers(t))
	for _, p := range reading {
		status, body, header := o.send(http.MethodGet, p, nil, "")
		switch {
		case strings.HasPrefix(p, "/J/"):
			if status != 200 || strings.Contains(body, "/unit/") || strings.Contains(body, "/job/") {
				t.Errorf("%s: %d %s", p, status, body)
			}
		case status != http.StatusSeeOther || !strings.HasPrefix(header.Get("Location"), "/sign-in?to=") || strings.Contains(body, "K-24818"):
			t.Errorf("%s: %d %v", p, status, header)
		}
	}
	for _, p := range []string{"/job/K-24818/packet", "/picture/20"} {
		if status, _, _ := o.send(http.MethodGet, p, nil, ""); status != http.StatusSeeOther {
			t.Errorf("%s: %d", p, status)
		}
	}
	// A job whose fingerprint is not known looks like one that was never printed.
	_, a, _ := o.send(http.MethodGet, "/J/K-24817/1/16/00000000", nil, "")
	_, b, _ := o.send(http.MethodGet, "/J/K-99999/1/16/00000000", nil, "")
	if strings.ReplaceAll(a, "K-24817", "K-99999") != b {
		t.Error("a guess tells which jobs there are")
	}

	c := o.enters("paula")
	if _, body, _ := o.get(c, "/jobs"); !strings.Contains(body, "Signed in as Paula") || !strings.Contains(body, "K-24818") {
		t.Error(body)
	}
	where, _ := url.Parse(o.url)
	id := c.Jar.Cookies(where)
	if status, body, _ := o.post(c, "/jobs", "/sign-out", url.Values{}); status != 200 || !strings.Contains(body, "Sign in") {
		t.Errorf("signed out: %d", status)
	}
	for _, k := range id {
		if status, _, _ := o.send(http.MethodGet, "/jobs", map[string]string{"Cookie": k.String()}, ""); status != http.StatusSeeOther {
			t.Error("the id of a session that ended still lets in")
		}
	}
	if strings.Contains(o.log.String(), password) || strings.Contains(o.log.String(), id[0].Value) {
		t.Error("the log has a secret")
	}
}

// An id that an attacker chose is not the one that somebody is let in under.
func TestFixation(t *testing.T) {
	o := open(t, withUsers(t))
	const chosen = "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"
	_, body, _ := o.send(http.MethodGet, "/sign-in", map[string]string{"Cookie": "desk=" + chosen}, "")
	_, rest, _ := strings.Cut(body, `name="token" value="`)
	form := url.Values{"token": {rest[:43]}, "name": {"Paula"}, "password": {password}}
	status, _, header := o.send(http.MethodPost, "/sign-in", map[string]string{"Cookie": "desk=" + chosen, "Content-Type": "application/x-www-form-urlencoded"}, form.Encode())
	if status != http.StatusSeeOther || strings.Contains(header.Get("Set-Cookie"), chosen) || !strings.HasPrefix(header.Get("Set-Cookie"), "desk=") {
		t.Errorf("%d %v", status, header)
	}
	if status, _, _ := o.send(http.MethodGet, "/jobs", map[string]string{"Cookie": "desk=" + chosen}, ""); status != http.StatusSeeOther {
		t.Error("the chosen id lets in")
	}
}

// Whoever was taken off the list, or has another password, is out at once.
func TestSignedOutByTheList(t *testing.T) {
	o := open(t, withUsers(t))
	c := o.enters("Paula")
	if _, errs, err := command(t, "another four words\n", "desk", "--site", o.site, "--add-user", "Paula", "--role", "planner", "--password-stdin"); err != nil {
		t.Fatal(err, errs)
	}
	if _, body, _ := o.get(c, "/jobs"); strings.Contains(body, "K-24818") {
		t.Error("the old password still lets in")
	}
}

// Guessing ends soon, by name and by address, and tells nothing of names.
func TestGuessing(t *testing.T) {
	o := open(t, withUsers(t))
	c := browser(t)
	try := func(name, word string) (int, string) {
		status, body, _ := o.post(c, "/sign-in", "/sign-in", url.Values{"name": {name}, "password": {word}})
		return status, strings.ReplaceAll(body, name, "")
	}
	_, known := try("Paula", "wrong but long enough")
	_, unknown := try("Nobody", "wrong but long enough")
	if cut := func(s string) string { a, b, _ := strings.Cut(s, `name="token" value="`); return a + b[43:] }; cut(known) != cut(unknown) {
		t.Error("the answer tells whether there is a name")
	}
	for range 9 {
		try("Paula", "wrong but long enough")
	}
	if status, _ := try("Paula", password); status != http.StatusTooManyRequests {
		t.Errorf("after ten tries: %d", status)
	}
	if status, _ := try("Marco", "wrong but long enough"); status != http.StatusForbidden {
		t.Errorf("another name: %d", status)
	}
	for i := range 20 {
		try("x"+strings.Repeat("y", i), "wrong but long enough")
	}
	if status, _ := try("Aud", password); status != http.StatusTooManyRequests {
		t.Errorf("after twenty tries from one address: %d", status)
	}
}

// A session holds from where it began: a cookie that was stolen does not let in from
// elsewhere, and ends.
func TestStolenSession(t *testing.T) {
	o := open(t, withUsers(t), "--behind-proxy")
	from := func(ip string) map[string]string {
		return map[string]string{"X-Forwarded-For": "203.0.113.9, " + ip, "Content-Type": "application/x-www-form-urlencoded"}
	}
	_, body, header := o.send(http.MethodGet, "/sign-in", from("10.1.2.3"), "")
	id, _, _ := strings.Cut(header.Get("Set-Cookie"), ";")
	_, rest, _ := strings.Cut(body, `name="token" value="`)
	h := from("10.1.2.3")
	h["Cookie"] = id
	_, _, header = o.send(http.MethodPost, "/sign-in", h, url.Values{"token": {rest[:43]}, "name": {"Paula"}, "password": {password}}.Encode())
	id, _, _ = strings.Cut(header.Get("Set-Cookie"), ";")
	h["Cookie"] = id
	if status, _, _ := o.send(http.MethodGet, "/jobs", h, ""); status != 200 {
		t.Fatalf("not let in: %d", status)
	}
	thief := from("10.9.9.9")
	thief["Cookie"] = id
	if status, _, _ := o.send(http.MethodGet, "/jobs", thief, ""); status != http.StatusSeeOther {
		t.Errorf("from elsewhere: %d", status)
	}
	if status, _, _ := o.send(http.MethodGet, "/jobs", h, ""); status != http.StatusSeeOther {
		t.Errorf("it did not end: %d", status)
	}
	if !strings.Contains(o.log.String(), "another address, 10.9.9.9") {
		t.Error("nothing is told of it")
	}
}

// What writes comes from a page of ours, with its token, by somebody who may.
func TestPosting(t *testing.T) {
	o := open(t, withUsers(t))
	before, err := o.register.Head(t.Context())
	must(t, err)
	where, _ := url.Parse(o.url)
	auditor, mechanic := o.enters("Aud"), o.enters("Marco")
	if status, _, _ := o.post(auditor, "/jobs", "/name", url.Values{"name": {"X"}}); status != http.StatusForbidden {
		t.Errorf("an auditor posted: %d", status)
	}
	_, body, _ := o.get(mechanic, "/jobs")
	_, rest, _ := strings.Cut(body, `name="token" value="`)
	token := rest[:43]
	_, body, _ = o.get(auditor, "/jobs")
	_, rest, _ = strings.Cut(body, `name="token" value="`)
	others := rest[:43]
	cookie := mechanic.Jar.Cookies(where)[0].String()
	form := "application/x-www-form-urlencoded"
	for what, c := range map[string]struct {
		header map[string]string
		body   string
		status int
	}{
		"no token":          {map[string]string{"Cookie": cookie, "Content-Type": form}, "name=x", 403},
		"another's token":   {map[string]string{"Cookie": cookie, "Content-Type": form}, "token=" + others, 403},
		"no cookie":         {map[string]string{"Content-Type": form}, "token=" + token, 403},
		"another site":      {map[string]string{"Cookie": cookie, "Content-Type": form, "Origin": "https://evil.example.net"}, "token=" + token, 403},
		"no origin":         {map[string]string{"Cookie": cookie, "Content-Type": form, "Origin": "null"}, "token=" + token, 403},
		"cross-site":        {map[string]string{"Cookie": cookie, "Content-Type": form, "Sec-Fetch-Site": "cross-site"}, "token=" + token, 403},
		"same site":         {map[string]string{"Cookie": cookie, "Content-Type": form, "Sec-Fetch-Site": "same-site"}, "token=" + token, 403},
		"token in the path": {map[string]string{"Cookie": cookie, "Content-Type": form}, "", 403},
		"text":              {map[string]string{"Cookie": cookie, "Content-Type": "text/plain"}, "token=" + token, 403},
		"oversize":          {map[string]string{"Cookie": cookie, "Content-Type": form}, "token=" + token + "&name=" + strings.Repeat("x", 1<<20), 413},
		"not a form":        {map[string]string{"Cookie": cookie, "Content-Type": form}, "token=%zz", 400},
	} {
		path := "/sign-out"
		if what == "token in the path" {
			path += "?token=" + token
		}
		if status, _, _ := o.send(http.MethodPost, path, c.header, c.body); status != c.status {
			t.Errorf("%s: %d, want %d", what, status, c.status)
		}
	}
	if _, body, _ := o.get(mechanic, "/jobs"); !strings.Contains(body, "Signed in as Marco") {
		t.Error("one of them signed him out")
	}
	for _, m := range []string{"PUT", "DELETE", "PATCH", "TRACE", "OPTIONS", "CONNECT", "PROPFIND"} {
		if status, _, _ := o.send(m, "/job/K-24817", map[string]string{"Cookie": cookie}, ""); status < 400 {
			t.Errorf("%s: %d", m, status)
		}
	}
	for _, p := range []string{"/jobs", "/job/K-24817", "/records", "/", "/J/K-24817/1/16/7F3A91C2"} {
		if status, _, _ := o.post(mechanic, "/jobs", p, url.Values{}); status != http.StatusMethodNotAllowed {
			t.Errorf("post to %s: %d", p, status)
		}
	}
	for _, p := range reading { // reading writes nothing
		o.get(mechanic, p)
	}
	if after, err := o.register.Head(t.Context()); err != nil || after != before {
		t.Errorf("the register went from %v to %v, %v", before, after, err)
	}
}

// Without users a name that leads here from elsewhere is not answered, and a form of
// another site does nothing.
func TestRebinding(t *testing.T) {
	o := open(t, nil)
	port := o.url[strings.LastIndexByte(o.url, ':'):]
	for host, want := range map[string]int{"127.0.0.1" + port: 200, "localhost" + port: 200, "[::1]" + port: 200, "evil.example.net" + port: 421, "evil.example.net": 421, "127.0.0.1.evil.example.net": 421, "jobs.example.org": 421, "localhost.": 421, "": 200} {
		if status, _, _ := o.send(http.MethodGet, "/", map[string]string{"Host": host}, ""); status != want {
			t.Errorf("called %q: %d, want %d", host, status, want)
		}
	}
	// Whoever sits there gives a name once.
	c := browser(t)
	if status, body, _ := o.post(c, "/name", "/name", url.Values{"name": {"Planner 1"}, "to": {"/jobs"}}); status != 200 || !strings.Contains(body, "goes under Planner 1") {
		t.Errorf("%d %s", status, body)
	}
	for _, bad := range []string{"", "-x", "a\x00b", "<", strings.Repeat(" ", 3)} {
		if status, _, _ := o.post(c, "/name", "/name", url.Values{"name": {bad}}); status != http.StatusUnprocessableEntity {
			t.Errorf("%q was taken: %d", bad, status)
		}
	}
	// Nobody is led away.
	for _, to := range []string{"https://evil.example.net", "//evil.example.net", `/\evil.example.net`, "javascript:alert(1)", "\t//evil.example.net", "/\t/evil.example.net", "http:evil"} {
		_, body, _ := o.get(c, "/name")
		_, rest, _ := strings.Cut(body, `name="token" value="`)
		where, _ := url.Parse(o.url)
		status, _, header := o.send(http.MethodPost, "/name", map[string]string{"Cookie": c.Jar.Cookies(where)[0].String(), "Content-Type": "application/x-www-form-urlencoded"}, url.Values{"token": {rest[:43]}, "name": {"Planner 1"}, "to": {to}}.Encode())
		if status != http.StatusSeeOther || header.Get("Location") != "/" {
			t.Errorf("%q: %d to %q", to, status, header.Get("Location"))
		}
		for _, k := range header.Values("Set-Cookie") {
			id, _, _ := strings.Cut(k, ";")
			name, value, _ := strings.Cut(id, "=")
			c.Jar.SetCookies(where, []*http.Cookie{{Name: name, Value: value, Path: "/"}})
		}
	}
}

// What is larger than it may be, or never ends, is cut off.
func TestOversize(t *testing.T) {
	o := open(t, nil)
	for path, most := range map[string]int{"/jobs?number=" + strings.Repeat("x", 7000): 200, "/" + strings.Repeat("a/", 3000): 404, "/find?q=" + strings.Repeat("%F0%9F%92%A9", 900): 200, "/records?from=999999999999&file=" + strings.Repeat("y", 3000): 200, "/records?from=-5": 200} {
		if status, body, _ := o.get(browser(t), path); status != most || len(body) > 1<<20 {
			t.Errorf("%.20s: %d, %d bytes", path, status, len(body))
		}
	}
	c, err := net.Dial("tcp", strings.TrimPrefix(o.url, "http://"))
	must(t, err)
	defer c.Close()
	io.WriteString(c, "GET / HTTP/1.1\r\nHost: localhost\r\n")
	for range 3000 {
		if _, err := io.WriteString(c, "X-Long: "+strings.Repeat("x", 1000)+"\r\n"); err != nil {
			break
		}
	}
	c.SetReadDeadline(time.Now().Add(10 * time.Second))
	answer, _ := io.ReadAll(c)
	if len(answer) > 0 && !bytes.Contains(answer, []byte("431")) {
		t.Errorf("a header of 3 MB: %.60q", answer)
	}
}
