//go:build unix

package cli

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// asNobody runs the program without the rights of root, who may write anywhere.
func asNobody(t *testing.T, dir string, args ...string) outcome {
	t.Helper()
	program, err := os.ReadFile(filepath.Join(shipped(t), "jobsheaf"))
	must(t, err)
	must(t, os.WriteFile(filepath.Join(dir, "jobsheaf"), program, 0o755))
	var out, errs bytes.Buffer
	cmd := exec.Command(filepath.Join(dir, "jobsheaf"), args...)
	cmd.Dir, cmd.Stdout, cmd.Stderr = dir, &out, &errs
	if os.Geteuid() == 0 {
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
	}
	err = cmd.Run()
	if cmd.ProcessState == nil {
		t.Fatal(err)
	}
	return outcome{cmd.ProcessState.ExitCode(), out.String(), errs.String()}
}

// openDir makes a folder that anybody may look into, as those of t.TempDir are not.
func openDir(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "jobsheaf")
	must(t, err)
	must(t, os.Chmod(dir, 0o755))
	t.Cleanup(func() {
		os.Chmod(filepath.Join(dir, "out"), 0o755)
		os.RemoveAll(dir)
	})
	return dir
}

// TestReadOnlyFolder prints into a folder that may not be written to.
func TestReadOnlyFolder(t *testing.T) {
	dir := openDir(t)
	demo(t, "soapworks").write(t, filepath.Join(dir, "site"))
	must(t, os.Mkdir(filepath.Join(dir, "out"), 0o555))
	for _, args := range [][]string{
		{"make", "--site", "site", "--out", "out", "K-24818"},
		{"make", "--site", "site", "--out", "out/below", "K-24818"},
		{"start", "out/works"},
	} {
		got := asNobody(t, dir, args...)
		if got.code != exitWrong || !strings.Contains(got.err, "permission denied") {
			t.Errorf("%q: exit code %d, %s", args, got.code, got.err)
		}
	}
	if left := tree(t, filepath.Join(dir, "out")); len(left) != 1 {
		t.Errorf("there are %d files", len(left)-1)
	}
}

// TestUnreadableRecord reads a site of which one record may not be read: what does
// not lean on it is printed.
func TestUnreadableRecord(t *testing.T) {
	dir := openDir(t)
	p := demo(t, "soapworks").list(victim, neighbour)
	p["procedures/look.yaml"] = look
	p.write(t, filepath.Join(dir, "site"))
	must(t, os.Chmod(filepath.Join(dir, "site", units), 0))
	must(t, os.Mkdir(filepath.Join(dir, "out"), 0o755))
	must(t, os.Chmod(filepath.Join(dir, "out"), 0o777))
	got := asNobody(t, dir, "make", "--site", "site", "--list", "week", "--out", "out", "--no-register")
	if got.code != exitRefused || !strings.Contains(got.err, units+": error: cannot be read: permission denied [file]\n") {
		t.Errorf("exit code %d, %s", got.code, got.err)
	}
	if names := strings.Join(pdfs(t, filepath.Join(dir, "out")), " "); names != "K-2" {
		t.Errorf("printed are %s", names)
	}
}
