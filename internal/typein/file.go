package typein

import (
	"cmp"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
)

// Fault is what is wrong with a file of readings at a place: its line, and the number of
// the cell in it, both from 1; 0 stands for the whole of it.
type Fault struct {
	Line, Cell int
	Text       string
}

// columns are those of a file of readings; what stands in others is not read. A box is
// named by its ID, or by step and label as the page has them.
var columns = []string{"job", "print", "box", "page", "step", "label", "limits", "last", "value", "unit", "why"}

// row is a line of a file by its columns.
type row struct {
	line  int
	cells []string
	at    map[string]int // the number of each column's cell, from 1; of all rows
}

// get gives the cell of a column, "" where there is none.
func (r *row) get(column string) string {
	at := r.at[column]
	if at == 0 || at > len(r.cells) {
		return ""
	}
	return strings.TrimSpace(r.cells[at-1])
}

func (r *row) fault(column, format string, args ...any) Fault {
	return Fault{r.line, r.at[column], fmt.Sprintf(format, args...)}
}

// mostBytes is the most bytes of a file of readings: some 300,000 rows.
const mostBytes = 64 << 20

// FromCSV reads a file of readings and holds each row to its packet: all faults are told
// in order, and what is read is worth entering only where there are none. Rows without a
// value, and those that say what the register holds already, are passed over.
func FromCSV(ctx context.Context, r *register.Register, file io.Reader) (readings []register.Reading, faults []Fault, err error) {
	rows, faults, err := readRows(file)
	if err != nil {
		return nil, nil, err
	}
	type which struct {
		job   string
		print int
	}
	groups, order := map[which][]row{}, []which(nil) // a packet is loaded once, however its rows are spread
	for _, row := range rows {
		w := which{job: strings.ToUpper(row.get("job"))}
		if text := row.get("print"); text != "" {
			if w.print, err = strconv.Atoi(text); err != nil || w.print < 1 {
				faults = append(faults, row.fault("print", "%q is not the number of a print", clip(text)))
				continue
			}
		}
		if groups[w] == nil {
			order = append(order, w)
		}
		groups[w] = append(groups[w], row)
	}
	for _, w := range order {
		p, err := Load(ctx, r, w.job, w.print, true)
		if err == nil && p.Job.State != register.JobOpen {
			err = fmt.Errorf("job %s is %s", p.Job.ID, p.Job.State)
		}
		if err != nil {
			if ctx.Err() != nil {
				return nil, nil, err
			}
			faults = append(faults, groups[w][0].fault("job", "%s", err))
			continue
		}
		of, bad := p.take(groups[w])
		readings, faults = append(readings, of...), append(faults, bad...)
	}
	slices.SortStableFunc(faults, func(a, b Fault) int { return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Cell, b.Cell)) })
	return readings, faults, nil
}

// take reads the rows of a packet.
func (p *Packet) take(rows []row) (readings []register.Reading, faults []Fault) {
	named, placed := map[string]*Box{}, map[[2]string][]*Box{}
	for i := range p.Boxes {
		b := &p.Boxes[i]
		named[b.ID] = b
		key := [2]string{strings.ToLower(b.Ask.Step), strings.ToLower(b.Ask.Label)}
		placed[key] = append(placed[key], b)
	}
	lines := map[string]int{}
	for i := range rows {
		row := &rows[i]
		b := named[row.get("box")]
		if id := row.get("box"); id != "" && b == nil {
			faults = append(faults, row.fault("box", "print %d of job %s has no box %q to type in", p.Print.N, p.Job.ID, clip(id)))
			continue
		} else if id == "" {
			step, label := row.get("step"), row.get("label")
			at := placed[[2]string{strings.ToLower(step), strings.ToLower(label)}]
			if len(at) != 1 {
				faults = append(faults, row.fault("step", "job %s has %d boxes at step %q with the label %q: name the box", p.Job.ID, len(at), clip(step), clip(label)))
				continue
			}
			b = at[0]
		}
		if line, twice := lines[b.ID]; twice {
			faults = append(faults, row.fault("box", "box %s is on line %d too", b.ID, line))
			continue
		}
		lines[b.ID] = row.line
		reading, fault := row.take(b, p.Sign)
		switch {
		case fault.Text != "":
			faults = append(faults, fault)
		case reading.Text != "":
			readings = append(readings, reading)
		}
	}
	return readings, faults
}

// take reads a row for its box. The text of the reading is "" where there is nothing to
// enter.
func (r *row) take(b *Box, sign Sign) (register.Reading, Fault) {
	text, unit := r.get("value"), r.get("unit")
	if unit != "" && unit != b.Ask.Unit && b.isNumber() && !missingForm.MatchString(text) {
		text += " " + unit // a value with a unit of its own has two then, and is refused
	}
	t, err := Read(text, &b.Ask, sign)
	if err != nil {
		return register.Reading{}, r.fault("value", "%s: %s", b.Name(), err)
	}
	why := r.get("why")
	if why != "" {
		if why, err = Why(why); err != nil {
			return register.Reading{}, r.fault("why", "%s: %s", b.Name(), err)
		}
	}
	switch was := &b.Was; {
	case was.Event != 0 && was.Value == t.Value && was.Unit == t.Unit && (t.Value != "" || was.Text == t.Text) && (why == "" || why == was.Why):
		return register.Reading{}, Fault{}
	case was.Event != 0:
		return register.Reading{}, r.fault("value", "%s: %s typed %q at %s; correct it with `jobsheaf type JOB --again %s`", b.Name(), was.Who, clip(was.Text), was.At, b.ID)
	case why == "" && (t.Verdict.NeedsWhy() || t.Verdict.Doubt != ""):
		return register.Reading{}, r.fault("why", "%s: %s is %s: say why it is right", b.Name(), clip(t.Text), t.Verdict.Say())
	}
	return b.Reading(t, why), Fault{}
}

// readRows reads the rows that have a value.
func readRows(file io.Reader) (rows []row, faults []Fault, err error) {
	text, err := io.ReadAll(io.LimitReader(file, mostBytes+1))
	if err != nil {
		return nil, nil, err
	}
	if len(text) > mostBytes {
		return nil, nil, fmt.Errorf("the file has more than %d MB; split it", mostBytes>>20)
	}
	all := strings.TrimPrefix(string(text), "\ufeff")
	first, _, _ := strings.Cut(all, "\n")
	in := csv.NewReader(strings.NewReader(all))
	in.FieldsPerRecord = -1
	for _, separator := range []rune{',', ';', '\t'} {
		if strings.Count(first, string(separator)) > strings.Count(first, string(in.Comma)) {
			in.Comma = separator
		}
	}
	var at map[string]int
	for {
		cells, err := in.Read()
		if err == io.EOF {
			break
		}
		if bad, ok := errors.AsType[*csv.ParseError](err); ok {
			faults = append(faults, Fault{Line: bad.StartLine, Text: "the line cannot be taken apart into cells: " + bad.Err.Error()})
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		line, _ := in.FieldPos(0)
		if at == nil {
			if at, err = headings(cells); err != nil {
				return nil, []Fault{{Line: line, Text: err.Error()}}, nil
			}
			continue
		}
		r := row{line, cells, at}
		switch {
		case r.get("value") == "" && r.get("why") == "":
		case r.get("value") == "":
			faults = append(faults, r.fault("why", "there is a reason and no value"))
		case r.get("job") == "":
			faults = append(faults, r.fault("job", "the row names no job"))
		default:
			rows = append(rows, r)
		}
	}
	if at == nil && len(faults) == 0 {
		faults = []Fault{{Text: "the file is empty"}}
	}
	return rows, faults, nil
}

// headings finds the columns that are read.
func headings(cells []string) (map[string]int, error) {
	at := map[string]int{}
	for i, cell := range cells {
		name := strings.ToLower(strings.TrimSpace(cell))
		if !slices.Contains(columns, name) {
			continue
		}
		if at[name] != 0 {
			return nil, fmt.Errorf("two columns are headed %s", name)
		}
		at[name] = i + 1
	}
	if at["job"] == 0 || at["value"] == 0 || at["box"] == 0 && (at["step"] == 0 || at["label"] == 0) {
		return nil, errors.New("the first line must head columns: job, value, and box or step and label; `jobsheaf type JOB --template` writes them all")
	}
	return at, nil
}

// Template writes a file to fill in, with a row for each box that nothing is typed of.
func (p *Packet) Template(out io.Writer) error {
	w := csv.NewWriter(out)
	if err := w.Write(columns); err != nil {
		return err
	}
	for i := range p.Boxes {
		b := &p.Boxes[i]
		if b.Was.Event != 0 {
			continue
		}
		label := b.Ask.Label
		if b.Ask.For != manifest.ForReading || b.Ask.Step == "" {
			label = strings.TrimSpace(strings.TrimPrefix(b.Name(), b.Ask.Step)) // which of many rows it is
		}
		if err := w.Write([]string{p.Job.ID, strconv.Itoa(p.Print.N), b.ID, strconv.Itoa(b.Page), b.Ask.Step, label, b.Ask.Limits, b.Ask.Last, "", b.Ask.Unit, ""}); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}
