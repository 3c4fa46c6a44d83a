package placing

// mostAlike is how many remarks with the same initials a new one is held against: a list
// of remarks that all begin alike costs no more.
const mostAlike = 64

// sortRemarks puts marks whose words say nothing and are the same but for the spelling
// under one number, from 1.
func (p *placer) sortRemarks() {
	l := p.labels
	l.stampRemark, l.chapterRemark = make([]int, len(p.stamps)), make([]int, len(p.chapters))
	type remark struct {
		words  *wording
		number int
	}
	alike := map[string][]remark{} // by initials
	next := 0
	number := func(w *wording) int {
		if w.initials == "" {
			return 0
		}
		list := alike[w.initials]
		for _, r := range list[max(0, len(list)-mostAlike):] {
			if r.words.sameRemark(w) {
				return r.number
			}
		}
		next++
		alike[w.initials] = append(list, remark{w, next})
		return next
	}
	for i := range p.stamps {
		if l.stamp[i] == saysNothing {
			l.stampRemark[i] = number(&p.stampWords[i])
		}
	}
	for j := range p.chapters {
		if l.chapter[j] == saysNothing {
			l.chapterRemark[j] = number(&p.chapterWords[j])
		}
	}
}
