package cli

import (
	"maps"
	"os"
	"slices"
	"time"

	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/templates"

	"github.com/spf13/cobra"
)

// patience is how long completion may take: a person waits for it at the prompt.
const patience = 700 * time.Millisecond

// completer gives a command's words that begin like the one being typed.
type completer = func(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective)

// from completes from a site's records, whose folder the flag --site names. A site that
// cannot be read in time completes to nothing, or for files to files.
func from(words func(*record.Book) []string, otherwise cobra.ShellCompDirective) completer {
	return func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		dir, err := cmd.Flags().GetString("site")
		if err != nil {
			return nil, otherwise
		}
		found := make(chan []string, 1)
		go func() {
			book, _ := record.Load(os.DirFS(dir), templates.FS, record.Options{})
			found <- words(book)
		}()
		select {
		case list := <-found:
			return list, otherwise
		case <-time.After(patience):
			return nil, otherwise
		}
	}
}

func unitTags(b *record.Book) []string  { return slices.Sorted(maps.Keys(b.Units)) }
func listNames(b *record.Book) []string { return slices.Sorted(maps.Keys(b.Lists)) }

func jobIDs(b *record.Book) []string {
	var ids []string
	for _, name := range listNames(b) {
		for _, j := range b.Lists[name].Jobs {
			ids = append(ids, j.ID.S)
		}
	}
	return ids
}

func crewNames(b *record.Book) []string {
	if b.Site == nil {
		return nil
	}
	return slices.Sorted(maps.Keys(b.Site.Crews))
}

// procedures completes to the procedures of the program and of the site.
func procedures(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
	const nothing = cobra.ShellCompDirectiveNoFileComp
	dir, err := cmd.Flags().GetString("site")
	if err != nil {
		return nil, nothing
	}
	found := make(chan []string, 1)
	go func() {
		library, _ := procedure.Load(os.DirFS(dir), templates.FS, procedure.Options{})
		found <- library.Names()
	}()
	select {
	case list := <-found:
		return list, nothing
	case <-time.After(patience):
		return nil, nothing
	}
}

// first completes the first argument only.
func first(c completer) completer {
	return func(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return c(cmd, args, typed)
	}
}

// completeFlags says how the flags of a command are completed. A flag that is not there
// is a fault of the program.
func completeFlags(c *cobra.Command, flags map[string]completer) {
	for name, how := range flags {
		if err := c.RegisterFlagCompletionFunc(name, how); err != nil {
			panic(err)
		}
	}
}

// folders completes to folders, pdfFiles to packets.
func folders(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return nil, cobra.ShellCompDirectiveFilterDirs
}

func pdfFiles(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return []string{"pdf"}, cobra.ShellCompDirectiveFilterFileExt
}
