package caption

import (
	"strings"

	"golang.org/x/text/unicode/norm"
)

// stlSigns are the characters beyond ASCII that the format's Latin table holds
// in one byte, as far as the library writes that byte and independent readers
// agree on it. "$" is left out because it stands at another place than in ASCII,
// which the library does not heed; the long dash and the capital d with stroke
// because readers take their bytes for different characters.
const stlSigns = "\u00a0¡¢£¥§‘“«←↑→↓°±²³×µ¶·÷’”»¼½¾¿" +
	"¹®©™♪¬¦⅛⅜⅝⅞ÆªĦĲĿŁØŒºÞŦŊŉĸæđðħıĳŀłøœßþŧŋ"

// stlLetters are the letters the format writes in two bytes, the accent first.
const stlLetters = "ÀÈÌÒÙàèìòù" + "ÁĆÉÍĹŃÓŔŚÚÝŹáćéíĺńóŕśúýź" + "ÂĈÊĜĤÎĴÔŜÛŴŶâĉêĝĥîĵôŝûŵŷ" +
	"ÃĨÑÕŨãĩñõũ" + "ĀĒĪŌŪāēīōū" + "ĂĞŬăğŭ" + "ĊĖĠİŻċėġż" + "ÄËÏÖÜŸäëïöüÿ" + "ÅŮåů" +
	"ÇĶĻŅŖŞŢçķļņŗşţ" + "ŐŰőű" + "ĄĘĮŲąęįų" + "ČĎĚĽŇŘŠŤŽčďěľňřšťž"

// composed joins letters with their marks where Unicode has the joined letter,
// as the Latin table does. Only EBU STL needs it.
func composed(text string) string { return norm.NFC.String(text) }

// stlBytes is how many bytes a character of composed text takes, 0 when the
// alphabet has none for it.
func stlBytes(r rune) int {
	switch {
	case r == '$':
		return 0
	case r == '\n', r >= ' ' && r < 0x7F, strings.ContainsRune(stlSigns, r):
		return 1
	case strings.ContainsRune(stlLetters, r):
		return 2
	}
	return 0
}
