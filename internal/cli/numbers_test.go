package cli

import (
	"path/filepath"
	"strings"
	"testing"
)

// TestPrintedNumbers checks what is printed, as poppler reads it, against
// figures worked out by hand.
func TestPrintedNumbers(t *testing.T) {
	for _, c := range []struct {
		name, site, job string
		change          func(t *testing.T, p plant)
		says            []string
	}{
		{
			// The arc is π D / lead times the clearance: 250 for D = 250 lead/π =
			// 250/(16 π) in = 4.9736 in. The full pump is set warm, at 160 °F in a shop at
			// 75 °F: (11.7 − 11.4) µm/(m·K) × 6.5 in × 47.2 K = 0.000092 in less than cold.
			// 0.003 in − 0.000092 in, set in steps of 0.0005 in: 250 × 0.003 in = 0.75 in.
			name: "end clearance in inches", site: "candleworks-us", job: "J-412",
			change: func(t *testing.T, p plant) {
				p.replace(t, "site.yaml", "units: us", "units: us and metric\nstrip: true")
				p.replace(t, "designs/inch-ring.yaml", "housing: {diameter: 4.97 in, lead: 1/16 in}", "housing: {diameter: 4.9736 in, lead: 1/16 in}")
			},
			says: []string{
				"3/4 in (19.0 mm)", "0.750 in (19.1 mm)",
				// back off by 0.0005 in more: 250 × 0.0005 in = 0.125 in = 1/8 in
				"0.125 in (3.2 mm)",
				// 3/8-16, SAE J429 grade 8, Sp 120 ksi, At 0.0775 in2 (ASME B1.1), 40 %:
				// 3720 lbf; K = 0.18 (Shigley, table 8-15, lubricated): 0.18 × 3720 ×
				// 0.375/12 = 20.93 ft·lbf, less and more 4 %: 20.09 to 21.76, too
				// narrow for steps of a half; 241.1 to 261.1 in·lbf, in N·m 27.23 to 29.50
				"242 to 261 in·lbf (27.3 to 29.5 N·m)",
			},
		},
		{
			// The same in millimetres: 250 × 0.07 mm = 17.5 mm, D = 250 × 2 mm/π.
			name: "end clearance in millimetres", site: "soapworks", job: "K-24818",
			change: func(t *testing.T, p plant) {
				p.replace(t, "site.yaml", "units: metric", "units: both\nstrip: true")
				p.replace(t, design, "housing: {diameter: 100 mm, lead: 2 mm, locks: 2}", "housing: {diameter: 159.155 mm, lead: 2 mm, locks: 2}")
			},
			says: []string{
				"17.5 mm (11/16 in)", "17.5 mm (0.689 in)", "2.5 mm (0.100 in)",
				// M8, 8.8: Sp 580 MPa, As 36.6 mm2 (ISO 898-1), 50 %: 10.61 kN;
				// 0.18 × 10.61 kN × 8 mm = 15.28 N·m; 14.67 to 15.89; 129.8 to 140.6 in·lbf
				"14.7 to 15.8 N·m (130 to 140 in·lbf)",
			},
		},
		{
			name: "torques of a rebuild", site: "soapworks", job: "K-24826",
			change: func(t *testing.T, p plant) { p.replace(t, "site.yaml", "units: metric", "units: both") },
			says: []string{
				// M10, 8.8: Sp 580 MPa, As 58.0 mm2, 65 %: 21.87 kN; 0.18 × 21.87 kN ×
				// 10 mm = 39.36 N·m; 37.79 to 40.93; 27.87 to 30.19 ft·lbf
				"38.0 to 40.5 N·m (28.0 to 30.0 ft·lbf)",
				// its passes: 0.3 × 39.36 = 11.8, 0.6 × 39.36 = 23.6
				"12.0 N·m", "23.5 N·m",
				// the lock nut's band as recorded, 35..47 N·m = 25.81 to 34.67 ft·lbf
				"35.0 to 47.0 N·m (26.0 to 34.5 ft·lbf)",
			},
		},
		{
			name: "torques of a rebuild in inches", site: "candleworks-us", job: "J-413",
			says: []string{
				// 5/8-11, SAE 5, Sp 85 ksi, At 0.226 in2, 65 %: 12487 lbf; 0.18 × 12487 ×
				// 0.625/12 = 117.06 ft·lbf; 112.4 to 121.7 ft·lbf, and no N·m on the page
				"5/8-11, SAE 5, hex; numbered clockwise from the top 1-5-3-7-2-6-4-8, as drawn at step 7.6 112.5 to 121.5 ft·lbf 35.0 ft·lbf",
			},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			p := demo(t, c.site)
			if c.change != nil {
				c.change(t, p)
			}
			p.write(t, filepath.Join(dir, "site"))
			if got := jobsheaf("make", "--site", filepath.Join(dir, "site"), "--out", dir, c.job); got.code != exitDone {
				t.Fatal(got.err)
			}
			text, errs, err := outside("pdftotext", "-raw", filepath.Join(dir, c.job+".pdf"), "-")
			if err != nil {
				t.Fatal(errs)
			}
			text = strings.Join(strings.Fields(text), " ") // also what is spread over two lines
			for _, want := range c.says {
				if !strings.Contains(text, want) {
					t.Errorf("%q is not printed", want)
				}
			}
		})
	}
}
