package scribble

import (
	"image"
	"math"
)

// plane maps a place of the new picture to one of the old: a projective map.
type plane [9]float64

func (m plane) at(x, y float64) (float64, float64) {
	d := m[6]*x + m[7]*y + m[8]
	return (m[0]*x + m[1]*y + m[2]) / d, (m[3]*x + m[4]*y + m[5]) / d
}

// then gives the map that does m and then n.
func (m plane) then(n plane) plane {
	var o plane
	for i := range 3 {
		for k := range 3 {
			for j := range 3 {
				o[3*i+k] += n[3*i+j] * m[3*j+k]
			}
		}
	}
	return o
}

func shift(x, y float64) plane { return plane{1, 0, x, 0, 1, y, 0, 0, 1} }
func zoom(k float64) plane     { return plane{k, 0, 0, 0, k, 0, 0, 0, 1} }
func turn(degrees float64) plane {
	s, c := math.Sincos(degrees * math.Pi / 180)
	return plane{c, -s, 0, s, c, 0, 0, 0, 1}
}

// warp draws a picture of w by h pixels: each from its place in src, between whose
// pixels it mixes. What lies outside is of the tone under.
func warp(src *image.Gray, w, h int, m plane, under uint8) *image.Gray {
	out := image.NewGray(image.Rect(0, 0, w, h))
	sw, sh := src.Rect.Dx(), src.Rect.Dy()
	for y := range h {
		row := out.Pix[y*out.Stride:][:w]
		nx, ny, d := m[1]*(float64(y)+0.5)+m[2], m[4]*(float64(y)+0.5)+m[5], m[7]*(float64(y)+0.5)+m[8]
		for x := range row {
			fx := float64(x) + 0.5
			k := d + m[6]*fx
			u, v := (nx+m[0]*fx)/k-0.5, (ny+m[3]*fx)/k-0.5
			if u < -1 || v < -1 || u >= float64(sw) || v >= float64(sh) {
				row[x] = under
				continue
			}
			ix, iy := int(u+1)-1, int(v+1)-1
			a, b := int((u-float64(ix))*256), int((v-float64(iy))*256)
			var p [4]int
			if ix >= 0 && iy >= 0 && ix+1 < sw && iy+1 < sh {
				q := src.Pix[iy*src.Stride+ix:]
				p = [4]int{int(q[0]), int(q[1]), int(q[src.Stride]), int(q[src.Stride+1])}
			} else {
				for i := range p {
					p[i] = int(under)
					if x, y := ix+i&1, iy+i>>1; x >= 0 && y >= 0 && x < sw && y < sh {
						p[i] = int(src.Pix[y*src.Stride+x])
					}
				}
			}
			top, low := p[0]*(256-a)+p[1]*a, p[2]*(256-a)+p[3]*a
			row[x] = uint8((top*(256-b) + low*b + 1<<15) >> 16)
		}
	}
	return out
}

// onto gives the map from the corners to (top left, top right, bottom left, bottom
// right) back to a picture of w by h.
func onto(w, h float64, to [4]point) plane {
	// The unit square to the four corners (Heckbert, Fundamentals of Texture Mapping, 1989), turned round.
	p0, p1, p3, p2 := to[0], to[1], to[2], to[3]
	sx, sy := p0.x-p1.x+p2.x-p3.x, p0.y-p1.y+p2.y-p3.y
	dx1, dx2, dy1, dy2 := p1.x-p2.x, p3.x-p2.x, p1.y-p2.y, p3.y-p2.y
	det := dx1*dy2 - dx2*dy1
	g, k := (sx*dy2-dx2*sy)/det, (dx1*sy-sx*dy1)/det
	m := plane{p1.x - p0.x + g*p1.x, p3.x - p0.x + k*p3.x, p0.x, p1.y - p0.y + g*p1.y, p3.y - p0.y + k*p3.y, p0.y, g, k, 1}
	return m.inverse().then(plane{w, 0, 0, 0, h, 0, 0, 0, 1})
}

// inverse gives the map back, but for a factor, which does not matter.
func (m plane) inverse() plane {
	return plane{
		m[4]*m[8] - m[5]*m[7], m[2]*m[7] - m[1]*m[8], m[1]*m[5] - m[2]*m[4],
		m[5]*m[6] - m[3]*m[8], m[0]*m[8] - m[2]*m[6], m[2]*m[3] - m[0]*m[5],
		m[3]*m[7] - m[4]*m[6], m[1]*m[6] - m[0]*m[7], m[0]*m[4] - m[1]*m[3],
	}
}

// quarters turns a picture by quarter turns clockwise.
func quarters(src *image.Gray, n int) *image.Gray {
	w, h := src.Rect.Dx(), src.Rect.Dy()
	for range n {
		out := image.NewGray(image.Rect(0, 0, h, w))
		for y := range h {
			for x, g := range src.Pix[y*src.Stride:][:w] {
				out.Pix[x*out.Stride+h-1-y] = g
			}
		}
		src, w, h = out, h, w
	}
	return src
}

// soften blurs a picture in place, as a lens out of focus by sigma pixels.
func soften(g *image.Gray, sigma float64) {
	if sigma < 0.2 {
		return
	}
	n := int(math.Ceil(2.5 * sigma))
	weight := make([]int32, n+1)
	sum := 0.0
	for i := -n; i <= n; i++ {
		sum += math.Exp(-float64(i*i) / (2 * sigma * sigma))
	}
	rest := int32(1 << 16)
	for i := n; i > 0; i-- {
		weight[i] = int32(math.Exp(-float64(i*i)/(2*sigma*sigma)) / sum * (1 << 16))
		rest -= 2 * weight[i]
	}
	weight[0] = rest
	w, h := g.Rect.Dx(), g.Rect.Dy()
	line := make([]int32, w+2*n)
	for y := range h {
		row := g.Pix[y*g.Stride:][:w]
		for x := range line {
			line[x] = int32(row[min(max(x-n, 0), w-1)])
		}
		for x := range row {
			v := line[x+n] * weight[0]
			for i := 1; i <= n; i++ {
				v += (line[x+n-i] + line[x+n+i]) * weight[i]
			}
			row[x] = uint8((v + 1<<15) >> 16)
		}
	}
	// Down the columns a row at a time: rows that are still needed are kept.
	kept := make([][]uint8, n+1)
	for i := range kept {
		kept[i] = make([]uint8, w)
	}
	acc := make([]int32, w)
	row := func(y, now int) []uint8 {
		if y = max(y, 0); y < now {
			return kept[y%(n+1)]
		}
		return g.Pix[min(y, h-1)*g.Stride:][:w]
	}
	for y := range h {
		mid := g.Pix[y*g.Stride:][:w]
		for x, v := range mid {
			acc[x] = int32(v) * weight[0]
		}
		for i := 1; i <= n; i++ {
			up, down, k := row(y-i, y), row(y+i, y), weight[i]
			for x := range acc {
				acc[x] += (int32(up[x]) + int32(down[x])) * k
			}
		}
		copy(kept[y%(n+1)], mid)
		for x, v := range acc {
			mid[x] = uint8((v + 1<<15) >> 16)
		}
	}
}
