package pdf

import (
	"encoding/hex"
	"fmt"

	"jobsheaf/internal/page"
)

// image draws a picture within the content, in hexadecimal: the page is compressed as a
// whole, and no byte of the picture can be taken for its end. Source: clause 8.9.7.
func (c *content) image(m *page.Image) {
	if m.Columns < 1 || m.Rows < 1 || len(m.Grey) != m.Columns*m.Rows || !(m.W > 0 && m.H > 0) {
		c.fault("an image of %d by %d and %d bytes on %v by %v mm", m.Columns, m.Rows, len(m.Grey), m.W, m.H)
		return
	}
	c.b = append(c.b, 'q', ' ')
	c.num6(m.W * pt)
	c.b = append(c.b, "0 0 "...)
	c.num6(m.H * pt)
	c.xy(m.X, m.Y+m.H)
	c.op("cm")
	c.b = fmt.Appendf(c.b, "BI/W %d/H %d/CS/G/BPC 8/F/AHx ID ", m.Columns, m.Rows)
	c.b = hex.AppendEncode(c.b, m.Grey)
	c.op(">")
	c.op("EI Q")
}
