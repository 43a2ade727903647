package scribble

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image/png"
	"io"
	"math"
)

// WritePNG writes a shot with the resolution that it knows.
func WritePNG(w io.Writer, s Shot) error {
	var b bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&b, s.Image); err != nil {
		return err
	}
	raw := b.Bytes()
	if s.DPI == 0 {
		_, err := w.Write(raw)
		return err
	}
	// pHYs, pixels a metre, stands behind the header: 8 bytes of signature, 25 of IHDR.
	perM := uint32(math.Round(s.DPI / 0.0254))
	chunk := []byte("pHYs")
	chunk = binary.BigEndian.AppendUint32(chunk, perM)
	chunk = binary.BigEndian.AppendUint32(chunk, perM)
	chunk = append(chunk, 1)
	all := binary.BigEndian.AppendUint32(nil, uint32(len(chunk)-4))
	all = append(all, chunk...)
	all = binary.BigEndian.AppendUint32(all, crc32.ChecksumIEEE(chunk))
	for _, part := range [][]byte{raw[:33], all, raw[33:]} {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}
