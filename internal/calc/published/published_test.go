package published

import (
	"errors"
	"strings"
	"testing"

	"jobsheaf/internal/quantity"
)

var table = []quantity.Function{{
	Name: "sum", Args: []string{"a", "b"}, What: "a sum", Formula: "a + b", Range: "a above zero", Source: "none",
	Call: func(a, b quantity.Length) (quantity.Length, error) {
		if a <= 0 {
			return 0, errors.New("a is 0, want above zero")
		}
		return a + b, nil
	},
}, {
	Name: "warmer", Args: []string{"t", "by"}, What: "a point", Formula: "t + by", Range: "any", Source: "none",
	Call: func(t quantity.Temperature, by quantity.TemperatureDifference) (quantity.Temperature, error) {
		return t + quantity.Temperature(by), nil
	},
}, {
	Name: "is", Args: []string{"name", "yes"}, What: "a name", Formula: "name", Range: "any", Source: "none",
	Call: func(name string, yes bool) (bool, error) { return yes && name == "8-32 UNC", nil },
}}

func TestRowsThatAgree(t *testing.T) {
	for _, r := range []Row{
		{Function: "sum", Inputs: "a=1 mm; b=1 in", Expected: "26.4", Tolerance: "0", Unit: "mm"},
		{Function: "sum", Inputs: "b=2 mm;a=1 mm", Expected: "3.04", Tolerance: "0.05", Unit: "mm"},
		{Function: "sum", Inputs: "a=1 mm; b=2 mm", Expected: "3.01", Tolerance: "0.5%", Unit: "mm"},
		{Function: "sum", Inputs: "a=0 mm; b=2 mm", Expected: "refused: above zero"},
		{Function: "warmer", Inputs: "t=20 degC; by=9 K", Expected: "29", Tolerance: "0", Unit: "degC"},
		{Function: "is", Inputs: "name=8-32 UNC; yes=true", Expected: "true"},
	} {
		if err := r.Check(table); err != nil {
			t.Error(err)
		}
	}
}

func TestRowsThatDoNot(t *testing.T) {
	for want, r := range map[string]Row{
		"published 3.06":      {Function: "sum", Inputs: "a=1 mm; b=2 mm", Expected: "3.06", Tolerance: "0.05", Unit: "mm"},
		"published 3.02":      {Function: "sum", Inputs: "a=1 mm; b=2 mm", Expected: "3.02", Tolerance: "0.5%", Unit: "mm"},
		"wrong formula":       {Function: "sum", Inputs: "a=1 mm; b=2 mm", Expected: "3", Tolerance: "0.4", Unit: "mm"},
		"want it refused":     {Function: "sum", Inputs: "a=1 mm; b=2 mm", Expected: "refused: above zero"},
		"want the words":      {Function: "sum", Inputs: "a=0 mm; b=2 mm", Expected: "refused: below"},
		"names no words":      {Function: "sum", Inputs: "a=0 mm; b=2 mm", Expected: "refused:"},
		"a is 0":              {Function: "sum", Inputs: "a=0 mm; b=2 mm", Expected: "2", Tolerance: "0", Unit: "mm"},
		"b is missing":        {Function: "sum", Inputs: "a=1 mm", Expected: "3", Tolerance: "0", Unit: "mm"},
		"given twice":         {Function: "sum", Inputs: "a=1 mm; a=2 mm", Expected: "3", Tolerance: "0", Unit: "mm"},
		"want name=value":     {Function: "sum", Inputs: "a=1 mm; c=2 mm", Expected: "3", Tolerance: "0", Unit: "mm"},
		"input b":             {Function: "sum", Inputs: "a=1 mm; b=2 bar", Expected: "3", Tolerance: "0", Unit: "mm"},
		"no unit of a length": {Function: "sum", Inputs: "a=1 mm; b=2 mm", Expected: "3", Tolerance: "0", Unit: "bar"},
		"is no number":        {Function: "sum", Inputs: "a=1 mm; b=2 mm", Expected: "three", Tolerance: "0", Unit: "mm"},
		"tolerance \"\"":      {Function: "sum", Inputs: "a=1 mm; b=2 mm", Expected: "3", Unit: "mm"},
		"published true":      {Function: "is", Inputs: "name=8-32; yes=true", Expected: "true"},
		"true or false":       {Function: "is", Inputs: "name=8-32; yes=maybe", Expected: "true"},
		"no function":         {Function: "product", Inputs: "a=1 mm", Expected: "3", Tolerance: "0", Unit: "mm"},
	} {
		if err := r.Check(table); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v, want %q", r, err, want)
		}
	}
}

func TestReadRefuses(t *testing.T) {
	const head = "function,inputs,expected,tolerance,unit,source,kind\n"
	if rows, err := Read(strings.NewReader(head + "# note\nsum,a=1 mm,1,0,mm,a book,handbook\n")); err != nil || len(rows) != 1 || rows[0].Line != 3 {
		t.Errorf("a good table: %v, %v", rows, err)
	}
	for want, text := range map[string]string{
		"line 2: no source":        head + "sum,a=1 mm,1,0,mm,,handbook\n",
		`line 2: kind "guess"`:     head + "sum,a=1 mm,1,0,mm,a book,guess\n",
		"line 2: nothing expected": head + "sum,a=1 mm,,0,mm,a book,handbook\n",
		"wrong number of fields":   head + "sum,a=1 mm,1\n",
		"the columns are":          "function,inputs,expected,tolerance,unit,kind,source\n",
		"EOF":                      "",
	} {
		if _, err := Read(strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}
