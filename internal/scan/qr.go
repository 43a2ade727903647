package scan

import (
	"math"
	"slices"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode/decoder"
	"github.com/makiuchi-d/gozxing/qrcode/detector"
)

// symbol is a QR code that was read in a picture. Points are the middles of its finders,
// bottom left, top left, top right, and of its alignment pattern where one was found.
type symbol struct {
	text   string
	points []point
}

const (
	mostFinders = 14 // that are looked into: a page has six, text that looks like one is rare
	mostTriples = 24 // of them
	finderReach = 34 // modules between two finders at most: version 6
	finderNear  = 12 // at least: version 1 has 14
)

// symbols reads the QR codes of a picture, whatever they say; cut says what is dark. The library panics on some
// pictures (it indexes by what it reads), and what is scanned may be anything: a panic is
// no code.
//
// The library alone takes the three finders that are most alike, and so misses a code
// beside a sticker, another code, or text that looks like a finder; here every three that
// can be of one code are tried.
func (p plane) symbols(cut int) (found []symbol) {
	defer func() {
		if recover() != nil {
			found = nil
		}
	}()
	bits := p.bits(cut)
	if bits == nil {
		return nil
	}
	reader := decoder.NewDecoder()
	for _, t := range triples(finders(bits)) {
		if slices.ContainsFunc(found, func(s symbol) bool { return s.holds(t) }) {
			continue
		}
		if s, ok := p.read(bits, reader, t); ok {
			found = append(found, s)
		}
	}
	return found
}

// bits splits dark from light some way between the darkest and the lightest around, so
// that lines come out as wide as they are however blurred or faint they are. (The
// library's own way goes by means, and takes paper without print to be half as dark as it
// is: fine lines of a faint or blurred code are lost by it.)
func (p plane) bits(cut int) *gozxing.BitMatrix {
	const (
		block  = 8  // pixels
		around = 2  // blocks each way, together 40 pixels: 12 modules at 150 dpi
		plain  = 36 // greys: what differs by less is paper
	)
	m, err := gozxing.NewBitMatrix(p.w, p.h)
	if err != nil {
		return nil
	}
	cols, rows := (p.w+block-1)/block, (p.h+block-1)/block
	low, high := newPlane(cols, rows), newPlane(cols, rows)
	for j := range rows {
		for i := range cols {
			l, h := uint8(255), uint8(0)
			for y := j * block; y < min(p.h, (j+1)*block); y++ {
				for _, v := range p.row(y)[i*block : min(p.w, (i+1)*block)] {
					l, h = min(l, v), max(h, v)
				}
			}
			low.row(j)[i], high.row(j)[i] = l, h
		}
	}
	for j := range rows {
		for i := range cols {
			l, h := uint8(255), uint8(0)
			for y := max(0, j-around); y <= min(rows-1, j+around); y++ {
				for x := max(0, i-around); x <= min(cols-1, i+around); x++ {
					l, h = min(l, low.row(y)[x]), max(h, high.row(y)[x])
				}
			}
			if h-l < plain {
				continue
			}
			mid := uint8(int(l) + (int(h)-int(l))*cut/100)
			for y := j * block; y < min(p.h, (j+1)*block); y++ {
				for x, v := range p.row(y)[i*block : min(p.w, (i+1)*block)] {
					if v <= mid {
						m.Set(i*block+x, y)
					}
				}
			}
		}
	}
	return m
}

// finders gives what looks like a finder, the most often seen first. It goes through all
// rows, by the library's own test of a place: the library's search stops at the third.
func finders(bits *gozxing.BitMatrix) []*detector.FinderPattern {
	f := detector.NewFinderPatternFinder(bits, nil)
	w, h := bits.GetWidth(), bits.GetHeight()
	for y := 0; y < h; y += 2 {
		// Five runs, dark, light, dark, light, dark, that end at x.
		var runs [5]int
		dark := false
		for x := 0; x <= w; x++ {
			if now := x < w && bits.Get(x, y); now != dark {
				if dark && runs[0] > 0 && detector.FinderPatternFinder_foundPatternCross(runs[:]) {
					f.HandlePossibleCenter(runs[:], y, x)
				}
				copy(runs[:], runs[1:])
				runs[4], dark = 0, now
			}
			runs[4]++
		}
	}
	all := f.GetPossibleCenters()
	slices.SortStableFunc(all, func(a, b *detector.FinderPattern) int { return b.GetCount() - a.GetCount() })
	return all[:min(len(all), mostFinders)]
}

// triple is three finders that may be of one code: bottom left, top left, top right.
type triple struct {
	of  [3]*detector.FinderPattern
	off float64 // how far they are from a right angle with equal sides
}

// triples gives the finders that may be of one code, three by three, the best first.
func triples(all []*detector.FinderPattern) (out []triple) {
	for i := range all {
		for j := range i {
			for k := range j {
				a, b, c := gozxing.ResultPoint_OrderBestPatterns(all[i], all[j], all[k])
				t := triple{of: [3]*detector.FinderPattern{a.(*detector.FinderPattern), b.(*detector.FinderPattern), c.(*detector.FinderPattern)}}
				low, left, right := place(t.of[0]), place(t.of[1]), place(t.of[2])
				u, v := right.minus(left), low.minus(left)
				m := [3]float64{t.of[0].GetEstimatedModuleSize(), t.of[1].GetEstimatedModuleSize(), t.of[2].GetEstimatedModuleSize()}
				module := (m[0] + m[1] + m[2]) / 3
				if slices.Max(m[:]) > 1.6*slices.Min(m[:]) {
					continue
				}
				lu, lv := u.length(), v.length()
				cos := (u.x*v.x + u.y*v.y) / (lu * lv)
				t.off = math.Abs(math.Log(lu/lv)) + math.Abs(cos) + 0.3*(slices.Max(m[:])/slices.Min(m[:])-1)
				if min(lu, lv) < finderNear*module || max(lu, lv) > finderReach*module || max(lu, lv) > 1.5*min(lu, lv) || math.Abs(cos) > 0.4 {
					continue
				}
				out = append(out, t)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b triple) int { return int(math.Copysign(1, a.off-b.off)) })
	return out[:min(len(out), mostTriples)]
}

// place gives a place as we count: the library from the edge of the first pixel, we from
// its middle.
func place(p gozxing.ResultPoint) point { return point{p.GetX() - 0.5, p.GetY() - 0.5} }

// holds reports whether one of the finders is one of a symbol that was read.
func (s symbol) holds(t triple) bool {
	for _, f := range t.of {
		for _, q := range s.points[:3] {
			if q.distance(place(f)) < f.GetEstimatedModuleSize() {
				return true
			}
		}
	}
	return false
}

// read reads the code of three finders: as the library does, and else by the grey of
// each module, which a hole in the toner or a fold spoils less than a single pixel.
func (p plane) read(bits *gozxing.BitMatrix, reader *decoder.Decoder, t triple) (symbol, bool) {
	s := symbol{points: []point{place(t.of[0]), place(t.of[1]), place(t.of[2])}}
	says := func(m *gozxing.BitMatrix) bool {
		if m == nil {
			return false
		}
		r, err := reader.Decode(m, nil)
		if err != nil {
			return false
		}
		if _, mirrored := r.GetOther().(*decoder.QRCodeDecoderMetaData); mirrored {
			return false // the page would be seen through its back
		}
		s.text = r.GetText()
		return s.text != ""
	}
	info := detector.NewFinderPatternInfo(t.of[0], t.of[1], t.of[2])
	if d, err := detector.NewDetector(bits).ProcessFinderPatternInfo(info); err == nil {
		if q := d.GetPoints(); len(q) > 3 {
			s.points = append(s.points, place(q[3]))
		}
		if says(d.GetBits()) {
			return s, true
		}
	}
	module := (t.of[0].GetEstimatedModuleSize() + t.of[1].GetEstimatedModuleSize() + t.of[2].GetEstimatedModuleSize()) / 3
	seems := (s.points[0].distance(s.points[1])+s.points[1].distance(s.points[2]))/2/module + 7
	for _, n := range [4]int{29, 33, 25, 37} { // versions 3, 4, 2, 5: what pages carry
		if math.Abs(float64(n)-seems) > 5 {
			continue
		}
		for _, points := range [2][]point{s.points, s.points[:3]} {
			grey := p.modules(points, n)
			for _, k := range [3]float64{0, 0.25, 0.5} {
				if grey != nil && says(split(sharpen(grey, n, k), n)) {
					s.points = points
					return s, true
				}
			}
			if len(s.points) == 3 {
				break
			}
		}
	}
	return symbol{}, false
}

// modules takes each module's grey, over a little more than half of it both ways, row by
// row; nil where the points settle no place.
func (p plane) modules(points []point, n int) []float64 {
	places := symbolPlaces(float64(n))
	var pairs []pair
	for i, q := range points {
		pairs = append(pairs, pair{places[i], q, 1})
	}
	w, ok := fitAffine(pairs)
	if len(points) == 4 {
		w, ok = fitPerspective(pairs)
	}
	if !ok {
		return nil
	}
	grey := make([]float64, n*n)
	for row := range n {
		for col := range n {
			for _, dy := range [3]float64{-0.25, 0, 0.25} {
				for _, dx := range [3]float64{-0.25, 0, 0.25} {
					grey[row*n+col] += p.at(w.at(point{float64(col) + 0.5 + dx, float64(row) + 0.5 + dy})) / 9
				}
			}
		}
	}
	return grey
}

// sharpen takes off each module what blur has brought into it from those beside it, k of
// each.
func sharpen(grey []float64, n int, k float64) []float64 {
	if k == 0 {
		return grey
	}
	out := slices.Clone(grey)
	for _, step := range [2]int{1, n} {
		was := slices.Clone(out)
		for i := range out {
			at := i % n
			if step == n {
				at = i / n
			}
			if at > 0 && at < n-1 {
				out[i] = was[i] + k*(2*was[i]-was[i-step]-was[i+step])
			}
		}
	}
	return out
}

// split tells dark modules from light ones, by those around each.
func split(grey []float64, n int) *gozxing.BitMatrix {
	m, err := gozxing.NewBitMatrix(n, n)
	if err != nil {
		return nil
	}
	const around = 4 // modules: within that there are dark ones and light ones
	for row := range n {
		for col := range n {
			low, high := math.Inf(1), math.Inf(-1)
			for y := max(0, row-around); y <= min(n-1, row+around); y++ {
				for x := max(0, col-around); x <= min(n-1, col+around); x++ {
					low, high = min(low, grey[y*n+x]), max(high, grey[y*n+x])
				}
			}
			if grey[row*n+col] < (low+high)/2 {
				m.Set(col, row)
			}
		}
	}
	return m
}

// symbolPlaces gives where the points of a symbol lie, in modules from its top left
// corner. Source: ISO/IEC 18004:2015, 6.3.3 and annex E: finders are centred 3.5 modules
// from the edges, the last alignment pattern 6.5.
func symbolPlaces(n float64) [4]point {
	return [4]point{{3.5, n - 3.5}, {3.5, 3.5}, {n - 3.5, 3.5}, {n - 6.5, n - 6.5}}
}
