// Reads a TTML file with npm imsc and prints its paragraphs and complaints. For
// a short file it also asks what is shown in the middle of each paragraph's time.
// usage: node read_imsc.js PACKAGE FILE
const fs = require("fs");
const path = require("path");
const [pkg, file] = process.argv.slice(2);
const doc = require(path.join(pkg, "src/main/js/doc.js"));
const isd = require(path.join(pkg, "src/main/js/isd.js"));
const errors = [];
const note = (m) => { errors.push(m); return false; };
const handler = { info: note, warn: note, error: note, fatal: note };
const text = (n) => (n.kind === "br" ? "\n" : (n.text || "") + (n.contents || []).map(text).join(""));
const tt = doc.fromXML(fs.readFileSync(file, "utf8"), handler);
const cues = [];
(function walk(n) {
  if (n.kind === "p") {
    cues.push({ id: n.id || "", text: text(n), top: n.regionID === "region-top",
      from_ms: Math.round(n.begin * 1000), to_ms: Math.round(n.end * 1000) });
  }
  (n.contents || []).forEach(walk);
})(tt.body);
if (cues.length <= 100) {
  for (const c of cues) {
    const shown = isd.generateISD(tt, (c.from_ms + c.to_ms) / 2000, handler).contents.map(text).join("\n");
    if (!shown.includes(c.text)) errors.push("not shown in its middle: " + c.text + " but " + shown);
  }
}
console.log(JSON.stringify({ errors, cues }));
