package cli

import (
	"os"
	"path/filepath"
	"slices"

	"jobsheaf/internal/printjob"
)

// writeFiles writes files that belong together, all of them whole or none: under
// temporary names in the same folder, then renamed, the first last, so that where
// it is there the others are too.
//
// Files are not synced to the disk one by one: that was measured at 3 ms a file,
// as long as a packet takes. After a power cut a file of the last seconds may be
// empty or cut short; the next run of a week finds it and makes it again.
func writeFiles(run *runLock, dir string, files []printjob.File) error {
	var staged []string
	defer func() {
		for _, name := range staged {
			os.Remove(name) // what was renamed is not there any more
		}
	}()
	for _, f := range files {
		name, err := stage(run, dir, f.Data)
		if name != "" {
			staged = append(staged, name)
		}
		if err != nil {
			return err
		}
	}
	for i := range slices.Backward(files) {
		if err := os.Rename(staged[i], filepath.Join(dir, files[i].Name)); err != nil {
			return err
		}
	}
	return nil
}

// stage writes a temporary file and gives its name, also where it failed halfway.
func stage(run *runLock, dir string, data []byte) (name string, err error) {
	f, err := run.temp(dir)
	if err != nil {
		return "", err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Chmod(0o644)
	}
	if cerr := f.Close(); err == nil {
		err = cerr
	}
	return f.Name(), err
}
