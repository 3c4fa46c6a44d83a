package media

import "strings"

// macLanguages are the languages MOV files name by number, from 0 and from
// macLanguages2 on. A dot is a number without a code.
// Source: QuickTime File Format, language code values; spelled as
// libavformat/isom.c spells them.
const (
	macLanguages = "eng fra ger ita dut sve spa dan por nor heb jpn ara fin gre ice mlt tur hrv chi " +
		"urd hin tha kor lit pol hun est lav smi fao per rus chi . gle alb ron ces slk " +
		"slv yid srp mac bul ukr bel uzb kaz aze aze arm geo mol kir tgk tuk mon . pus " +
		"kur kas snd tib nep san mar ben asm guj pan ori mal kan tam tel sin bur khm lao " +
		"vie ind tgl may may amh tir orm som swa kin run nya mlg epo"
	macLanguages2 = "wel baq cat lat que grn aym tat uig dzo jav"

	firstMacLanguage2 = 128
	lastMacLanguage   = 0x3FF // above it the code is three letters
)

// language is the language field of an mdhd box: three letters of ISO 639-2/T
// packed in five bits each, or a number of the table above. "" is undetermined.
func language(code uint16) string {
	if code <= lastMacLanguage {
		words, n := strings.Fields(macLanguages), int(code)
		if n >= firstMacLanguage2 {
			words, n = strings.Fields(macLanguages2), n-firstMacLanguage2
		}
		if n >= len(words) || words[n] == "." {
			return ""
		}
		return words[n]
	}
	letters := []byte{byte(code>>10&31) + 0x60, byte(code>>5&31) + 0x60, byte(code&31) + 0x60}
	for _, c := range letters {
		if c < 'a' || c > 'z' {
			return ""
		}
	}
	if string(letters) == "und" {
		return ""
	}
	return string(letters)
}
