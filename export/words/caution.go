package words

// Caution is the one caution, word for word the same wherever it stands and in
// whatever language the rest is. No file of this package may hold another.
const Caution = "Teaching aid, not clinical advice. " +
	"Device and drug instructions, local protocols and the judgement of the licensed operating surgeon prevail. " +
	"Ranges are quoted from the sources shown; a value outside one means: look again. " +
	"Picture and sound were not examined for identifying marks."
