// Package ranges judges recorded values by accepted ranges that are kept as cited
// data rows.
//
// A [Row] says what a source gives for one parameter in one step when its conditions
// hold: an accepted band, an outer band, how sure each is and where it was read. The
// rows stand in data/*.yaml and are listed in RANGES.md; a user's own rows take their
// place through [Table.ParseLocal] and [Table.With]. [Table.Judge] converts a value,
// selects the row by the [Facts] of the case and returns a result with findings.
//
// The package refuses to flag what it does not know: a value without a unit, a
// technique without a row and a nucleus grade in another scheme are said to be so. A
// bound that no source states gives at most a caution, save what cannot be and slips
// of unit or decimal point. It gives no advice: a finding says what is recorded and
// what the source says. Rules that compare two values live elsewhere, except the
// arithmetic of a dose, [JudgeDose].
//
// # Facts
//
// A key that is absent is not known; a key without values is known to have none.
// Keys under event., step. and given. are what the file records: absent is "no".
//
//	procedure            procedure ids; both after a conversion
//	variant              technique of the step judged: ccc, can-opener, simcoe, fish-hook ...
//	<step>.variant       technique of another step
//	delivery             techniques of nucleus-delivery and nucleus-fragmentation together
//	cataract             types: brown, black, mature-white, posterior-polar ...
//	grade.<scheme>       locs3-no, locs3-nc, locs3-c, locs3-p, clinical-1-4, clinical-1-5: a number
//	lens.material        pmma, hydrophobic-acrylic, hydrophilic-acrylic, silicone
//	lens.optic-diameter  millimetres, a number
//	lens.site            in-bag, sulcus, anterior-chamber, iris, scleral, aphakic
//	limbus-landmark      anterior, middle, posterior
//	ovd-type             hpmc, hyaluronate, hyaluronate-chondroitin, none
//	drug                 drugs of the step, or its technique where that names a drug
//	ocular               conditions of the eye: pxf, phacodonesis, vitrectomised, fuchs ...
//	axial-length         millimetres, a number
//	endothelial-count    cells/mm2, a number
//	given.infusion-pressure  yes when the step records a forced infusion
//	step.<id>            yes when the case has the step
//	<step>.<parameter>   the word recorded for another step: wound-check.leak
//	event.<id>           yes when the case has the event or complication
//
// # Units
//
//	length mm, cm for a bottle   pressure mmHg        flow mL/min
//	volume mL                    dose mg              concentration %, 1:n
//	power %, energy %-s          angle °              density cells/mm2
//	gauge G, suture USP          corneal thickness µm refraction D
//
// Read [Table.Judge] and [Row] first.
//
// Sources: data/sources.yaml holds the full reference of every id; most were read as
// abstracts and opening text.
package ranges
