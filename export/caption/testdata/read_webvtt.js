// Reads a WebVTT file with npm webvtt-parser and prints its cues and errors.
// usage: node read_webvtt.js PACKAGE FILE KIND
const fs = require("fs");
const [pkg, file, kind] = process.argv.slice(2);
const { WebVTTParser } = require(pkg);
const text = (n) => (n.type === "text" ? n.value : (n.children || []).map(text).join(""));
const got = new WebVTTParser(require(pkg + "/html-entities.json")).parse(fs.readFileSync(file, "utf8"), kind);
console.log(JSON.stringify({
  errors: got.errors.map((e) => e.line + ": " + e.message),
  cues: got.cues.map((c) => ({
    id: c.id, text: text(c.tree), top: c.linePosition === 0,
    from_ms: Math.round(c.startTime * 1000), to_ms: Math.round(c.endTime * 1000),
  })),
}));
