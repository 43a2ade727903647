#!/bin/sh
# Makes the scans here again, as other programs write them: one small page, of which
# page.pgm is the grey and page.pbm the black and white. They are kept so that the tests
# need none of these programs (Debian's netpbm, libtiff-tools, libjpeg-turbo-progs,
# img2pdf, ghostscript, qpdf, mupdf-tools, poppler-utils).
set -eu
cd "$(dirname "$0")"
w=121 h=87 # odd sizes leave bits over at the ends of rows
awk -v w=$w -v h=$h 'BEGIN {
	print "P2", w, h, 255
	for (y = 0; y < h; y++) for (x = 0; x < w; x++) {
		v = int(255 * (x + y) / (w + h))                  # a slope, so that each turn is seen
		if (x < 3 || y < 3 || x > w - 4 || y > h - 4) v = 0
		if (x > 10 && x < 40 && y > 10 && y < 24) v = 255
		if (x > 80 && y > 50 && (x * 7 + y * 13) % 11 < 5) v = 30
		print v
	} }' | pnmtopnm >page.pgm
pgmtopbm -threshold -value 0.5 page.pgm >page.pbm
t=$(mktemp -d)
trap 'rm -r "$t"' EXIT
pgmtoppm white page.pgm >"$t/rgb.ppm"

# PNG
pnmtopng -size "7874 7874 1" page.pgm >grey.png 2>/dev/null
pnmtopng -interlace page.pgm >interlaced.png 2>/dev/null
pnmtopng page.pbm >bilevel.png 2>/dev/null

# JPEG
cjpeg -quality 98 -grayscale page.pgm >grey.jpg
cjpeg -quality 98 -progressive "$t/rgb.ppm" >progressive.jpg
cjpeg -quality 98 -rgb "$t/rgb.ppm" >rgb.jpg
cjpeg -quality 98 -arithmetic page.pgm >arithmetic.jpg

# TIFF
pnmtotiff -none -xresolution=200 -yresolution=200 page.pgm >"$t/grey.tif" 2>/dev/null
pnmtotiff -none -xresolution=200 -yresolution=200 page.pbm >"$t/bw.tif" 2>/dev/null
ppm2tiff -c none -R 200 "$t/rgb.ppm" "$t/rgb.tif"
for c in none lzw lzw:2 zip:2 packbits; do tiffcp -c $c -r 16 "$t/grey.tif" "grey-$(echo $c | tr : -).tif"; done
for c in none packbits g4 g3:1d g3:2d; do tiffcp -c $c -r 20 "$t/bw.tif" "bilevel-$(echo $c | tr -d :).tif"; done
tiffcp -c g4 -f lsb2msb "$t/bw.tif" bilevel-lsb.tif
tiffcp -c none -f lsb2msb "$t/bw.tif" bilevel-none-lsb.tif
tiffcp -c g4 -t -w 32 -l 32 "$t/bw.tif" bilevel-tiles.tif
tiffcp -c lzw:2 -t -w 32 -l 32 "$t/rgb.tif" rgb-tiles.tif
tiffcp -c jpeg:r:98 -r 16 "$t/rgb.tif" rgb-jpeg.tif
tiffcp -c jpeg:98 -r 16 "$t/rgb.tif" ycbcr-jpeg.tif
tiffcp -B -c zip "$t/rgb.tif" rgb-big-endian.tif
tiffcp -p separate "$t/rgb.tif" planar.tif
tiffcp -8 "$t/grey.tif" bigtiff.tif
tiffcp -c g4 "$t/bw.tif" "$t/bw.tif" "$t/bw.tif" three.tif
cp bilevel-g4.tif turned.tif && tiffset -s 274 6 turned.tif

# PDF: what is laid on a page by several programs
img2pdf --imgsize 200dpix200dpi grey.jpg -o img2pdf-jpeg.pdf
img2pdf --imgsize 200dpix200dpi grey.png bilevel.png -o img2pdf-png.pdf
tiff2pdf -o tiff2pdf-g4.pdf bilevel-g4.tif
tiff2pdf -z -o tiff2pdf-tiles.pdf rgb-tiles.tif
gs -q -sDEVICE=pdfwrite -dMaxInlineImageSize=0 -o gs.pdf img2pdf-png.pdf
gs -q -sDEVICE=pdfimage24 -r200 -dLastPage=1 -o gs-image24.pdf img2pdf-png.pdf
qpdf --object-streams=generate img2pdf-jpeg.pdf qpdf-packed.pdf
qpdf --linearize img2pdf-jpeg.pdf qpdf-linear.pdf
qpdf --rotate=+90 img2pdf-png.pdf qpdf-turned.pdf
qpdf --rotate=+270 tiff2pdf-tiles.pdf qpdf-turned-tiles.pdf
qpdf --encrypt "" owner 256 -- img2pdf-jpeg.pdf qpdf-locked.pdf
mutool clean -a img2pdf-png.pdf mutool-text.pdf >/dev/null
printf '%%!PS\n/Helvetica findfont 20 scalefont setfont 20 20 moveto (text) show showpage\n' | gs -q -sDEVICE=pdfwrite -g1000x1000 -o text.pdf -
