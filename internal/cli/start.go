package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"jobsheaf/internal/printjob"
	"jobsheaf/samples"

	"github.com/spf13/cobra"
)

func startCommand(s Streams) *cobra.Command {
	var size bool
	var site string
	c := &cobra.Command{
		Use:   "start DIR",
		Short: "Make a new site from the demo, or a form for a size",
		Long: `start copies the demo site, an invented soap and candle works, into a new folder:
records to change into your own, each with its source or the words "from memory".

With --size it writes nothing. It prints a form, in YAML, for each value that the
procedures need of a size and that the site does not have on record.`,
		Example: "  jobsheaf start works\n  jobsheaf check works\n  jobsheaf start --size ring-gear-b 65 --site works",
		RunE: func(cmd *cobra.Command, args []string) error {
			switch {
			case size && len(args) == 2:
				return printSizeForm(cmd.Context(), s, site, args[0], args[1])
			case size:
				return errors.New("name a design and a size of it, such as `jobsheaf start --size ring-gear-b 65 --site works`")
			case cmd.Flags().Changed("site"):
				return errors.New("--site goes with --size; a new site is named alone, such as `jobsheaf start works`")
			}
			if len(args) != 1 {
				return errors.New("name one new folder, such as `jobsheaf start works`")
			}
			return start(s, args[0])
		},
	}
	c.Flags().BoolVar(&size, "size", false, "print a form for the values that the size SIZE of the design DESIGN lacks")
	c.Flags().StringVar(&site, "site", ".", "the site's folder, for --size")
	return c
}

// start writes the demo site into a folder that is not there or empty.
func start(s Streams, dir string) error {
	if dir == "" {
		return errors.New("the folder has no name: nothing was written; name a new one, such as `jobsheaf start works`")
	}
	entries, err := os.ReadDir(dir)
	if err != nil && !os.IsNotExist(err) {
		return err
	}
	if len(entries) > 0 {
		return fmt.Errorf("%s is not empty: nothing was written; name a new folder", dir)
	}
	demo, err := fs.Sub(samples.FS, "soapworks")
	if err != nil {
		return err
	}
	files := 0
	err = fs.WalkDir(demo, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		to := filepath.Join(dir, filepath.FromSlash(path))
		if d.IsDir() {
			return os.MkdirAll(to, 0o755)
		}
		data, err := fs.ReadFile(demo, path)
		if err != nil {
			return err
		}
		files++
		return writeFiles(&runLock{}, filepath.Dir(to), []printjob.File{{Name: filepath.Base(to), Data: data}})
	})
	if err != nil {
		return err
	}
	fmt.Fprintf(s.Out, "%s: %s. Everything in it is invented: replace it before you print for a real pump.\n", dir, plural(files, "file"))
	return nil
}
