package desk_test

import (
	"os"
	"path/filepath"
	"testing"
)

func TestMain(m *testing.M) {
	code := m.Run()
	if dir, err := demo(); err == nil {
		os.RemoveAll(filepath.Clean(dir))
	}
	os.Exit(code)
}
