package words

import "io/fs"

// GetFrom is Get over another set of files.
func GetFrom(fsys fs.FS, lang string) Words { return choose(load(fsys), lang) }

// Extra lists the keys a language has and English has not.
func Extra(w Words) []string {
	var extra []string
	for group, names := range w.words {
		for name := range names {
			if !w.Has(group + "." + name) {
				extra = append(extra, group+"."+name)
			}
		}
	}
	return extra
}
