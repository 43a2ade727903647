package cli

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"jobsheaf/internal/register"
	"jobsheaf/internal/typein"

	"golang.org/x/term"
)

// keyboard is one run of typing readings in, line by line.
type keyboard struct {
	typing
	s      Streams
	in     *bufio.Reader
	person bool // at a terminal: what cannot be kept is asked again
	r      *register.Register
	p      *typein.Packet
	page   int // whose heading was shown last
	kept   int
}

// longestLine is the most bytes of a line.
const longestLine = 64 << 10

func (t *typing) keyboard(s Streams, r *register.Register, p *typein.Packet) *keyboard {
	f, ok := s.In.(*os.File)
	return &keyboard{typing: *t, s: s, in: bufio.NewReaderSize(s.In, longestLine), person: ok && term.IsTerminal(int(f.Fd())), r: r, p: p}
}

// What ends the asking for a box, besides that its reading is kept.
var (
	errBack = errors.New("back")
	errStop = errors.New("stop")
)

const deskHelp = `Type what stands in the box, as 0.11, 0,11, 1 1/4 in or 0.0043 in. A number without a unit is in
the one that is shown. Then Enter.
  -      nothing was measured; a reason is asked for
  Enter  alone: skip the box; the next run asks again
  back   to the box before, to correct it
  stop   end; what is kept is kept
`

func (d *keyboard) run(ctx context.Context) error {
	todo, there := d.todo()
	if d.again != "" && len(todo) == 0 {
		return fmt.Errorf("print %d of job %s has no box and no step %q to type in", d.p.Print.N, d.p.Job.ID, d.again)
	}
	d.say("%s on %s, print %d: %s to type, %d typed before", d.p.Job.ID, d.p.Job.Unit, d.p.Print.N, boxes(len(todo)), there)
	if d.p.Blank > 0 {
		d.say("; %d for words left out, blank on the paper", d.p.Blank)
	}
	d.say("\n")
	if len(todo) == 0 {
		return nil
	}
	err := d.askWho()
	for at := 0; at < len(todo) && err == nil; {
		switch err = d.box(ctx, todo[at]); {
		case errors.Is(err, errBack) && at == 0:
			d.say("this is the first; --again BOX asks for one that was typed before\n")
			err = nil
		case errors.Is(err, errBack):
			at, err = at-1, nil
		default:
			at++
		}
	}
	left, _ := d.todo()
	if d.again == "" {
		d.say("%d kept, %s left\n", d.kept, boxes(len(left)))
	}
	if errors.Is(err, errStop) {
		err = nil
	}
	return err
}

// todo gives the boxes to ask for, and how many of the others are typed.
func (d *keyboard) todo() (todo []*typein.Box, there int) {
	for i := range d.p.Boxes {
		b := &d.p.Boxes[i]
		wanted := b.Was.Event == 0
		if d.again != "" {
			wanted = b.ID == d.again || b.Ask.Step == d.again
		}
		if wanted {
			todo = append(todo, b)
		} else if b.Was.Event != 0 {
			there++
		}
	}
	return todo, there
}

func boxes(n int) string {
	if n == 1 {
		return "1 box"
	}
	return fmt.Sprintf("%d boxes", n)
}

func (d *keyboard) say(format string, args ...any) { fmt.Fprintf(d.s.Err, format, args...) }

// line asks for a line. What ends without an end of line was cut off, perhaps within a
// number, and does not count.
func (d *keyboard) line(prompt string) (string, error) {
	d.say("%s", prompt)
	raw, err := d.in.ReadSlice('\n')
	switch {
	case errors.Is(err, bufio.ErrBufferFull):
		return "", fmt.Errorf("a line has more than %d bytes", longestLine)
	case errors.Is(err, io.EOF):
		d.say("\n")
		if len(raw) > 0 {
			d.say("the last line has no end and is not taken\n")
		}
		return "", errStop
	case err != nil:
		return "", err
	}
	text := strings.TrimSpace(string(raw))
	switch strings.ToLower(text) {
	case "back":
		return "", errBack
	case "stop":
		return "", errStop
	case "?":
		d.say("%s", deskHelp)
		return d.line(prompt)
	}
	return text, nil
}

// askWho asks once who types: nothing stands in for it.
func (d *keyboard) askWho() error {
	if d.who == "" && !d.person {
		return errors.New("say who types with --who")
	}
	for d.who == "" {
		who, err := d.line("who types? ")
		if err != nil {
			return err
		}
		d.who = who
	}
	return nil
}

// errUnkept says that a line of a pipe cannot be kept, and that this was said.
var errUnkept = fmt.Errorf("a line was not kept: %w", errRefused)

// notKept tells why a text is not kept. A person is asked again, a pipe is not read on:
// its next line would be taken for this box.
func (d *keyboard) notKept(b *typein.Box, why string) error {
	d.say("not kept: %s\n", why)
	if d.person {
		return nil
	}
	d.say("the run ends at box %s\n", b.ID)
	return errUnkept
}

// box asks for a box until something is kept or it is left.
func (d *keyboard) box(ctx context.Context, b *typein.Box) error {
	d.show(b)
	text, err := d.line("> ")
	for err == nil && text != "" {
		var t typein.Typed
		if t, err = typein.Read(text, &b.Ask, d.p.Sign); err != nil {
			if err = d.notKept(b, err.Error()); err == nil {
				text, err = d.line("> ")
			}
			continue
		}
		var why string
		if why, text, err = d.sure(b, t); err != nil || text != "" {
			continue // another text is to be read
		}
		if err = d.keep(ctx, b, t, why); err == nil {
			return nil
		}
		if m, ok := errors.AsType[*register.Meanwhile](err); ok {
			if err = d.notKept(b, m.Error()); err == nil {
				if err = d.look(ctx, b); err == nil {
					d.show(b)
					text, err = d.line("> ")
				}
			}
		}
	}
	return err
}

// sure asks for the reason of what is outside its limits or was not measured, and whether
// a number is meant that may be a slip. It gives another text where one was typed instead;
// where the line is empty, the box is asked for again.
func (d *keyboard) sure(b *typein.Box, t typein.Typed) (why, other string, err error) {
	ask := ""
	switch {
	case t.Verdict.NeedsWhy():
		ask = "why? (or the number again) "
	case t.Verdict.Doubt != "":
		ask = "is that meant? yes, or the number again: "
	default:
		return "", "", nil
	}
	d.say("%s: %s\n", t.Print(), t.Verdict.Say())
	for {
		text, err := d.line(ask)
		if err != nil {
			return "", "", err
		}
		_, unread := typein.Read(text, &b.Ask, d.p.Sign)
		wrong := ""
		switch meant := !t.Verdict.NeedsWhy(); {
		case text == "" && meant:
			wrong = "yes is not said"
		case text == "":
			wrong = "a reason is not said"
		case meant && (strings.EqualFold(text, "yes") || strings.EqualFold(text, "y")):
			return "", "", nil
		case unread == nil && d.person:
			return "", text, nil
		case unread == nil:
			wrong = fmt.Sprintf("another number, %q, follows", text)
		case meant:
			wrong = unread.Error()
		default:
			if why, unread = typein.Why(text); unread == nil {
				return why, "", nil
			}
			wrong = unread.Error()
		}
		if err := d.notKept(b, wrong); err != nil {
			return "", "", err
		}
	}
}

// keep enters a reading, and says so once it is entered.
func (d *keyboard) keep(ctx context.Context, b *typein.Box, t typein.Typed, why string) error {
	if _, err := d.r.Type(ctx, register.By{Who: d.who, At: time.Now()}, b.Reading(t, why)); err != nil {
		return err
	}
	d.kept++
	if err := d.sayKept(b, t, why); err != nil {
		return err
	}
	return d.look(ctx, b)
}

// sayKept says that a reading is in the register.
func (d *keyboard) sayKept(b *typein.Box, t typein.Typed, why string) error {
	if d.asJSON {
		return json.NewEncoder(d.s.Out).Encode(struct {
			Job     string         `json:"job"`
			Print   int            `json:"print"`
			Page    int            `json:"page"`
			Box     string         `json:"box"`
			Name    string         `json:"name"`
			Text    string         `json:"text"`
			Value   string         `json:"value,omitempty"`
			Unit    string         `json:"unit,omitempty"`
			Why     string         `json:"why,omitempty"`
			Verdict typein.Verdict `json:"verdict"`
		}{d.p.Job.ID, d.p.Print.N, b.Page, b.ID, b.Name(), t.Text, t.Value, t.Unit, why, t.Verdict})
	}
	said := "kept " + b.ID + ": " + t.Print()
	for _, more := range []string{t.Verdict.Say(), why} {
		if more != "" && !(t.Missing && more != why) {
			said += "; " + more
		}
	}
	_, err := fmt.Fprintln(d.s.Out, said)
	return err
}

// look takes what stands for a box from the register.
func (d *keyboard) look(ctx context.Context, b *typein.Box) error {
	all, err := d.r.Readings(ctx, d.p.Print.Event)
	b.Was = all[b.ID]
	return err
}

// show says which box is asked for and what is known of it.
func (d *keyboard) show(b *typein.Box) {
	if d.page != b.Page {
		d.page = b.Page
		d.say("\npage %d, %s", b.Page, b.Sheet)
		if path := picturePath(d.site, b.Picture); path != "" {
			d.say(": %s", path)
		}
		d.say("\n")
	}
	d.say("%s", b.Name())
	for _, part := range []struct{ lead, text string }{{", ", b.Ask.Unit}, {"; ", b.Ask.Limits}, {"; last ", b.Ask.Last}, {"; ", b.Ask.Tool}} {
		if part.text != "" && !strings.Contains(b.Name(), part.text) {
			d.say("%s%s", part.lead, part.text)
		}
	}
	switch {
	case b.Was.Event != 0:
		d.say("; %s typed %s", b.Was.Who, typein.Typed{Text: b.Was.Text, Value: b.Was.Value, Unit: b.Was.Unit}.Print())
	case b.Seen == register.Blank:
		d.say("; blank on the paper: Enter skips")
	case b.Seen == register.Unsure:
		d.say("; perhaps blank on the paper: look")
	}
	d.say("\n")
}

// picturePath gives where the picture of a page is kept, "" where it is not.
func picturePath(site, sum string) string {
	if len(sum) != 64 {
		return ""
	}
	path := pictures{site}.path(sum)
	if _, err := os.Stat(path); err != nil {
		return ""
	}
	return path
}
