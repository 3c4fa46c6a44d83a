package chapter

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"sideport/export/caption"
	"sideport/export/words"
)

// tick is the least length of a chapter: the finest step that every form but the
// list of lines can tell.
const tick = time.Millisecond

// deepest is the level below which chapters stand beside each other: readers bound how
// deep elements lie in each other, and nobody looks that far down.
const deepest = 31

// node is an arranged chapter with the chapters inside it.
type node struct {
	Chapter
	nth      int    // which of its id, from 1; 0 without an id
	key      string // the id as it is written, unique in the list; empty without one
	children []*node
	last     time.Duration // the latest start in it, its own or a descendant's
}

// arrange makes the tree every form is written from, in whole milliseconds,
// rounded half up. Chapters are in order of their start, a parent before its
// children, otherwise as given. A level deeper than one below the chapter before
// is taken for one below, and a chapter that starts after its parent has ended
// stands beside it. Siblings end where the next one starts at the latest, children
// where their parent ends; two siblings with one start are put a millisecond
// apart. A chapter that starts at the end of the video or after it, or is pushed
// there by those before it, has nothing to show and is left out. A start before
// zero is an error.
func arrange(l List) ([]*node, error) {
	total := round(l.Total)
	var roots, open []*node
	untitled := words.Get(l.Language).T("chapter.untitled")
	for i, c := range ordered(l.Chapters) {
		if c.From < 0 {
			return nil, fmt.Errorf("chapter %q starts at %v, before the video", c.Title, c.From)
		}
		if c.From >= l.Total || total < tick {
			continue
		}
		c.From = min(round(c.From), total-tick)
		if c.To = round(max(c.To, 0)); c.To <= c.From {
			c.To = 0 // not stated
		}
		// In an id an arrow would begin a cue.
		c.ID = strings.ReplaceAll(strings.TrimSpace(caption.CleanLine(c.ID)), "-->", "→")
		if c.Title = caption.CleanLine(c.Title); c.Title == "" {
			c.Title = untitled + " " + strconv.Itoa(i+1)
		}
		n := &node{Chapter: c}
		open = open[:min(max(c.Level, 0), len(open), deepest)]
		for len(open) > 0 && open[len(open)-1].ended(c.From) {
			open = open[:len(open)-1]
		}
		if len(open) == 0 {
			roots = append(roots, n)
		} else {
			parent := open[len(open)-1]
			parent.children = append(parent.children, n)
		}
		open = append(open, n)
	}
	if spread(roots, 0) > total-tick {
		roots = upTo(roots, total-tick)
	}
	end(roots, total)
	number(roots, l.GivenIDs)
	return roots, nil
}

func ordered(chapters []Chapter) []Chapter {
	chapters = slices.Clone(chapters)
	slices.SortStableFunc(chapters, func(a, b Chapter) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.Level, b.Level))
	})
	return chapters
}

// ended reports whether the chapter states an end that is not after t.
func (n *node) ended(t time.Duration) bool { return n.To > 0 && n.To <= t }

// spread moves starts so that siblings and what is inside them rise by a tick at
// least, none before from, and returns the latest. A first child may start with
// its parent.
func spread(siblings []*node, from time.Duration) (last time.Duration) {
	for _, n := range siblings {
		n.From = max(n.From, from)
		n.last = n.From
		if len(n.children) > 0 {
			n.last = spread(n.children, n.From)
		}
		last, from = n.last, n.last+tick
	}
	return last
}

// upTo leaves out what spread moved past the latest start there can be. What is
// left behind such a chapter starts at latest itself.
func upTo(siblings []*node, latest time.Duration) []*node {
	for i, n := range siblings {
		if n.From > latest {
			return siblings[:i]
		}
		n.children, n.last = upTo(n.children, latest), min(n.last, latest)
	}
	return siblings
}

// end sets the ends: as stated where that holds all that is inside and crosses
// neither the next sibling nor limit, the parent's end.
func end(siblings []*node, limit time.Duration) {
	for i, n := range siblings {
		latest := limit
		if i+1 < len(siblings) {
			latest = siblings[i+1].From
		}
		if n.To == 0 {
			n.To = latest
		}
		n.To = min(max(n.To, n.last+tick), latest)
		end(n.children, n.To)
	}
}

// number counts the chapters of each id in order of their start and makes their
// keys: the id and the count, or with given the id alone where nothing has it yet.
func number(roots []*node, given bool) {
	seen, used := map[string]int{}, map[string]bool{}
	for n := range walk(roots) {
		if n.ID == "" {
			continue
		}
		seen[n.ID]++
		n.nth = seen[n.ID]
		n.key = n.ID
		if !given || used[n.key] {
			n.key = fmt.Sprintf("%s-%d", n.ID, n.nth)
		}
		for used[n.key] {
			seen[n.ID]++
			n.key = fmt.Sprintf("%s-%d", n.ID, seen[n.ID])
		}
		used[n.key] = true
	}
}

// walk visits every chapter, a parent before its children. The level is that of
// the tree.
func walk(roots []*node) func(yield func(*node, int) bool) {
	return func(yield func(*node, int) bool) {
		var visit func(nodes []*node, level int) bool
		visit = func(nodes []*node, level int) bool {
			for _, n := range nodes {
				if !yield(n, level) || !visit(n.children, level+1) {
					return false
				}
			}
			return true
		}
		visit(roots, 0)
	}
}

// flat is the list for forms without nesting: the chapters in order, a parent cut
// short where its first child starts; a parent that starts with its first child
// lends it its title, so that no two entries have one start.
func flat(roots []*node) []Chapter {
	var out []Chapter
	for n := range walk(roots) {
		c := n.Chapter
		if last := len(out) - 1; last >= 0 {
			if out[last].From == c.From {
				c.Title = out[last].Title + ": " + c.Title
				c.Members = slices.Concat(out[last].Members, c.Members)
				out = out[:last]
			} else {
				out[last].To = min(out[last].To, c.From)
			}
		}
		out = append(out, c)
	}
	return out
}

// led is flat with an entry in front when the first chapter does not start the
// video: muxers that write MP4 shift such a list.
func led(roots []*node, l List) []Chapter {
	out := flat(roots)
	if len(out) > 0 && out[0].From > 0 {
		intro := Chapter{To: out[0].From, Title: words.Get(l.Language).T("chapter.intro")}
		out = append([]Chapter{intro}, out...)
	}
	return out
}

// round rounds half up to the tick.
func round(d time.Duration) time.Duration { return (d + tick/2) / tick * tick }
