package packet

import (
	"fmt"
	"reflect"
	"testing"
)

// Whatever may hold a phrase is read: a kind of block or a field that the walk leaves
// out would lose the working of the numbers that stand there.
func TestNumbersReadsEveryPhrase(t *testing.T) {
	n := 0
	var fill func(v reflect.Value, deep int)
	fill = func(v reflect.Value, deep int) {
		switch {
		case v.Type() == reflect.TypeFor[Phrase]():
			n++
			v.Set(reflect.ValueOf(Phrase{{Text: "a"}, {Text: "1", Entry: fmt.Sprint(n)}}))
		case v.Kind() == reflect.Pointer:
			v.Set(reflect.New(v.Type().Elem()))
			fill(v.Elem(), deep)
		case v.Kind() == reflect.Slice && v.Type().Elem().Kind() == reflect.Struct && deep < 8:
			v.Set(reflect.MakeSlice(v.Type(), 1, 1))
			fill(v.Index(0), deep+1)
		case v.Kind() == reflect.Slice && v.Type().Elem() == reflect.TypeFor[Phrase]():
			v.Set(reflect.MakeSlice(v.Type(), 2, 2))
			fill(v.Index(0), deep)
			fill(v.Index(1), deep)
		case v.Kind() == reflect.Struct:
			for i := range v.NumField() {
				fill(v.Field(i), deep)
			}
		}
	}
	para := func() []Block {
		n++
		return []Block{{Para: &Para{Text: Phrase{{Entry: fmt.Sprint(n)}}}}}
	}
	var s Sheet
	for i := range reflect.TypeFor[Block]().NumField() {
		b := reflect.New(reflect.TypeFor[Block]()).Elem()
		switch b.Type().Field(i).Name {
		case "Working": // of the annex, and no sheet that is carried
			continue
		case "Keep":
			b.Field(i).Set(reflect.ValueOf(para()))
		case "Beside":
			b.Field(i).Set(reflect.ValueOf(&Beside{Left: para(), Right: para()}))
		default:
			fill(b.Field(i), 0)
		}
		s.Blocks = append(s.Blocks, b.Interface().(Block))
	}
	seen := map[string]int{}
	for _, span := range s.Numbers() {
		seen[span.Entry]++
	}
	if n < 20 {
		t.Fatalf("%d phrases only were filled in", n)
	}
	for i := 1; i <= n; i++ {
		if seen[fmt.Sprint(i)] != 1 {
			t.Errorf("phrase %d of %d was read %d times", i, n, seen[fmt.Sprint(i)])
		}
	}
}

func TestNumbersSayTheirStep(t *testing.T) {
	number := func(name string) Phrase { return Phrase{{Text: "1", Entry: name}} }
	s := Sheet{Blocks: []Block{
		{Para: &Para{Text: number("before")}},
		{Step: &Step{Number: "1.1", Text: number("text"), Blanks: []Blank{{Target: number("target")}}, Figure: []Figure{{Entries: []string{"drawn"}}}}},
		{Para: &Para{Text: number("after")}},
	}}
	got := ""
	for step, span := range s.Numbers() {
		got += span.Entry + " " + step + ", "
	}
	if want := "before , text 1.1, drawn 1.1, target 1.1, after , "; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	for range s.Numbers() { // it ends when it is told to
		break
	}
}
