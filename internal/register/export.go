package register

import (
	"bufio"
	"context"
	"database/sql"
	"encoding/base64"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// Files of an export. A YAML export is the first alone; a CSV export the other two.
const (
	YAMLFile      = "register.yaml"
	EventsFile    = "events.csv"
	ManifestsFile = "manifests.csv"
)

// heads of the two sections of a YAML export. What stands in them is a list of JSON
// objects, one a line, which is YAML too: any program can read it, and this one reads
// it a line at a time, however long it is.
const (
	yamlTitle     = "# All that the register holds. The program that made it can make the register of it again.\n"
	yamlManifests = "manifests:"
	yamlEvents    = "events:"
)

// kept is a manifest in an export.
type kept struct {
	Sum  string `json:"sum"`
	Body string `json:"body"` // in base64, compressed by DEFLATE
}

var (
	eventColumns    = []string{"n", "at", "who", "kind", "job", "data", "before", "hash"}
	manifestColumns = []string{"sum", "body"}
)

// ExportYAML writes all of the register as one YAML file.
func (r *Register) ExportYAML(ctx context.Context, to io.Writer) error {
	w := bufio.NewWriter(to)
	line := func(v any) error {
		raw, err := json.Marshal(v)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(w, "  - %s\n", raw)
		return err
	}
	fmt.Fprintf(w, "%s%s\n", yamlTitle, yamlManifests)
	if err := r.manifests(ctx, func(k kept) error { return line(k) }); err != nil {
		return err
	}
	fmt.Fprintf(w, "%s\n", yamlEvents)
	if err := r.events(ctx, func(e event) error { return line(e) }); err != nil {
		return err
	}
	return w.Flush()
}

// ExportCSV writes all of the register as two tables.
func (r *Register) ExportCSV(ctx context.Context, events, manifests io.Writer) error {
	w := csv.NewWriter(events)
	w.Write(eventColumns) // an error of it is kept for Error
	err := r.events(ctx, func(e event) error {
		return w.Write([]string{strconv.FormatInt(e.N, 10), e.At, e.Who, string(e.Kind), e.Job, string(e.Data), e.Before, e.Hash})
	})
	w.Flush()
	if err := errors.Join(err, w.Error()); err != nil {
		return err
	}
	m := csv.NewWriter(manifests)
	m.Write(manifestColumns)
	err = r.manifests(ctx, func(k kept) error { return m.Write([]string{k.Sum, k.Body}) })
	m.Flush()
	return errors.Join(err, m.Error())
}

// manifests hands on all manifests in the order of their sums.
func (r *Register) manifests(ctx context.Context, each func(kept) error) error {
	return r.each(ctx, func(rows *sql.Rows) error {
		var k kept
		var body sql.RawBytes
		if err := rows.Scan(&k.Sum, &body); err != nil {
			return err
		}
		k.Body = base64.StdEncoding.EncodeToString(body)
		return each(k)
	}, allManifests)
}

// allManifests is the query for all manifests in the order of their sums.
const allManifests = "SELECT sum, body FROM manifest ORDER BY sum"

// ImportYAML adds what ExportYAML wrote, all or nothing, and gives how many events
// were new. What the register holds already has to be the beginning of it.
func (r *Register) ImportYAML(ctx context.Context, from io.Reader) (added int, err error) {
	err = r.adding(ctx, &added, func(in *importer) error {
		lines := bufio.NewReader(from)
		section := ""
		for n := 1; ; n++ {
			line, err := lines.ReadString('\n')
			if err != nil && err != io.EOF {
				return err
			}
			text, isItem := strings.CutPrefix(strings.TrimRight(line, "\r\n"), "  - ")
			switch {
			case isItem && section == yamlManifests:
				var k kept
				if err := errors.Join(json.Unmarshal([]byte(text), &k), in.manifest(k)); err != nil {
					return fmt.Errorf("line %d: %w", n, err)
				}
			case isItem && section == yamlEvents:
				var e event
				if err := json.Unmarshal([]byte(text), &e); err != nil {
					return fmt.Errorf("line %d: %w", n, err)
				}
				if err := in.event(e); err != nil {
					return fmt.Errorf("line %d: %w", n, err)
				}
			case text == yamlManifests || text == yamlEvents:
				section = text
			case text != "" && !strings.HasPrefix(text, "#"):
				return fmt.Errorf("line %d: found %.40q where a manifest or an event of an exported register is wanted", n, text)
			}
			if err == io.EOF {
				if section != yamlEvents {
					return errors.New("it ends before its events: it is not an exported register, or was cut off")
				}
				return nil
			}
		}
	})
	return added, err
}

// ImportCSV adds what ExportCSV wrote, as ImportYAML does.
func (r *Register) ImportCSV(ctx context.Context, events, manifests io.Reader) (added int, err error) {
	err = r.adding(ctx, &added, func(in *importer) error {
		err := table(ManifestsFile, manifests, manifestColumns, func(c []string) error { return in.manifest(kept{c[0], c[1]}) })
		if err != nil {
			return err
		}
		return table(EventsFile, events, eventColumns, func(c []string) error {
			n, err := strconv.ParseInt(c[0], 10, 64)
			if err != nil {
				return err
			}
			return in.event(event{n, c[1], c[2], kind(c[3]), c[4], json.RawMessage(c[5]), c[6], c[7]})
		})
	})
	return added, err
}

// table reads the rows of a CSV table below its headings.
func table(name string, from io.Reader, columns []string, each func([]string) error) error {
	rows := csv.NewReader(from)
	heads, err := rows.Read()
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	if !slices.Equal(heads, columns) {
		return fmt.Errorf("%s: the columns are %s; an exported register has %s", name, strings.Join(heads, ","), strings.Join(columns, ","))
	}
	for {
		row, err := rows.Read()
		if err == io.EOF {
			return nil
		}
		if err == nil {
			err = each(row)
		}
		if err != nil {
			line, _ := rows.FieldPos(0)
			return fmt.Errorf("%s, line %d: %w", name, line, err)
		}
	}
}

// importer adds events that come from outside.
type importer struct {
	journal *journal
	last    event // of those that came
	held    Head  // of the register before
	added   int
}

// adding does an import in one transaction.
func (r *Register) adding(ctx context.Context, added *int, f func(*importer) error) error {
	return r.change(ctx, func(tx *sql.Tx) error {
		j, err := newJournal(ctx, tx)
		if err != nil {
			return err
		}
		held := Head{j.last.N, j.last.Hash}
		in := &importer{journal: j, held: held}
		if err := f(in); err != nil {
			return err
		}
		if in.last.N < held.Events {
			return fmt.Errorf("the export has %d events, and the register holds %d: it is older", in.last.N, held.Events)
		}
		*added = in.added
		return nil
	})
}

// manifest keeps a manifest that came.
func (in *importer) manifest(k kept) error {
	body, err := base64.StdEncoding.DecodeString(k.Body)
	if err != nil {
		return err
	}
	if _, err := inflate(k.Sum, body); err != nil {
		return err
	}
	return in.journal.store(k.Sum, body)
}

// event adds an event that came, or holds it to the one that is there.
func (in *importer) event(e event) error {
	if err := e.follows(in.last); err != nil {
		return err
	}
	in.last = e
	if e.N > in.held.Events {
		in.added++
		return in.journal.put(e)
	}
	if e.N == in.held.Events && e.Hash != in.held.Hash {
		return fmt.Errorf("event %d of the export is another than that of the register: the two registers went apart before it", e.N)
	}
	return nil
}
