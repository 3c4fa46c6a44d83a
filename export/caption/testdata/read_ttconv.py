"""Reads a file with ttconv and prints its paragraphs.

usage: python3 read_ttconv.py imsc|srt|stl FILE
"""
import io
import json
import logging
import sys
import xml.etree.ElementTree as et

import ttconv.imsc.reader
import ttconv.model as model
import ttconv.srt.reader
import ttconv.stl.reader

complaints = io.StringIO()
logging.basicConfig(stream=complaints, level=logging.WARNING)


def text(node):
    if isinstance(node, model.Br):
        return "\n"
    if isinstance(node, model.Text):
        return node.get_text()
    return "".join(text(child) for child in node)


def walk(node, offset, cues):
    begin = offset + (node.get_begin() or 0)
    if isinstance(node, model.P):
        end = node.get_end()
        cues.append({
            "id": node.get_id() or "", "text": text(node),
            "top": node.get_region() is not None and node.get_region().get_id() == "region-top",
            "from_ms": round(begin * 1000), "to_ms": round((offset + end) * 1000),
        })
        return
    for child in node:
        walk(child, begin, cues)


kind, name = sys.argv[1:]
if kind == "imsc":
    doc = ttconv.imsc.reader.to_model(et.parse(name))
elif kind == "srt":
    with open(name, encoding="utf-8") as f:
        doc = ttconv.srt.reader.to_model(f)
else:
    with open(name, "rb") as f:
        doc = ttconv.stl.reader.to_model(f)
cues = []
walk(doc.get_body(), 0, cues)
if kind == "srt":
    # Its reader puts a line break in front of a text of several lines.
    for cue in cues:
        cue["text"] = cue["text"].removeprefix("\n")
json.dump({"errors": [line for line in complaints.getvalue().splitlines() if line], "cues": cues}, sys.stdout)
