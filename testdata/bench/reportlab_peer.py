"""Draws the pages of docs.json with reportlab, warm, and prints the processor time a packet."""
import io
import json
import sys
import time

import reportlab
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

folder = sys.argv[1]
with open(folder + "/docs.json", encoding="utf-8") as f:
    docs = json.load(f)
FACES = ["font%d" % i for i in range(7)]  # as the package fonts has them
for name in FACES:
    pdfmetrics.registerFont(TTFont(name, "%s/%s.ttf" % (folder, name)))


def draw(pages):
    out = io.BytesIO()
    c = Canvas(out, pageCompression=1)
    for p in pages:
        h = p["H"]
        c.setPageSize((p["W"] * mm, h * mm))
        for q in p["Paths"]:
            path = c.beginPath()
            for s in q["Segs"]:
                a = s["P"]
                if s["Op"] == 0:
                    path.moveTo(a[0] * mm, (h - a[1]) * mm)
                elif s["Op"] == 1:
                    path.lineTo(a[0] * mm, (h - a[1]) * mm)
                elif s["Op"] == 2:
                    path.curveTo(a[0] * mm, (h - a[1]) * mm, a[2] * mm, (h - a[3]) * mm, a[4] * mm, (h - a[5]) * mm)
                else:
                    path.close()
            if q["Fill"]:
                c.setFillColorRGB(*[k / 255 for k in q["Fill"]])
            if q["Stroke"]:
                c.setStrokeColorRGB(*[k / 255 for k in q["Stroke"]])
                c.setLineWidth(q["Width"] * mm)
                c.setDash([k * mm for k in q["Dash"] or []])
            c.drawPath(path, fill=1 if q["Fill"] else 0, stroke=1 if q["Stroke"] else 0)
        for t in p["Texts"]:
            c.setFont(FACES[t["Face"]], t["Size"])
            c.setFillColorRGB(*[k / 255 for k in t["Ink"]])
            if t["Turn"]:
                c.saveState()
                c.translate(t["X"] * mm, (h - t["Y"]) * mm)
                c.rotate(t["Turn"])
                c.drawString(0, 0, t["S"])
                c.restoreState()
            else:
                c.drawString(t["X"] * mm, (h - t["Y"]) * mm, t["S"])
        c.showPage()
    c.save()
    return out.getvalue()


for d in docs[:2]:
    draw(d)
size = 0
began = time.process_time()
for d in docs:
    size += len(draw(d))
took = time.process_time() - began
json.dump({"MS": took * 1000 / len(docs), "KB": size / 1024 / len(docs), "Version": reportlab.Version}, sys.stdout)
