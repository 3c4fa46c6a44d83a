package media

import (
	"encoding/binary"
	"math"
	"math/bits"
)

// element is an EBML element: its id with the length marker and the bytes of its
// content. open says that its size is not stated, so that to is the end of what
// holds it. Source: RFC 8794.
type element struct {
	id       uint32
	from, to int64
	open     bool
}

// elementAt reads the header of the element at byte at, which lies in something
// that ends at to. An element that claims to end behind to is cut there.
func (f *file) elementAt(at, to int64) (element, bool) {
	if at >= to || !f.another(at) {
		return element{}, false
	}
	head := f.bytes(at, min(at+12, to))
	if len(head) < 2 {
		return element{}, false
	}
	idLen := bits.LeadingZeros8(head[0]) + 1
	if idLen > 4 || idLen >= len(head) {
		f.damaged(at, "an element has no valid id")
		return element{}, false
	}
	var id uint32
	for _, c := range head[:idLen] {
		id = id<<8 | uint32(c)
	}
	sizeLen := bits.LeadingZeros8(head[idLen]) + 1
	if sizeLen > 8 || idLen+sizeLen > len(head) {
		f.damaged(at, "an element has no valid size")
		return element{}, false
	}
	size := uint64(head[idLen]) & (1<<(8-sizeLen) - 1)
	for _, c := range head[idLen+1 : idLen+sizeLen] {
		size = size<<8 | uint64(c)
	}
	e := element{id: id, from: at + int64(idLen+sizeLen)}
	switch {
	case size == 1<<(7*sizeLen)-1:
		e.open, e.to = true, to
	case size > uint64(to-e.from):
		e.to = to
		if to < f.size {
			f.damaged(at, "an element of %d bytes ends behind what holds it", size)
		}
	default:
		e.to = e.from + int64(size)
	}
	return e, true
}

// children visits the elements inside e in order.
func (f *file) children(e element, visit func(element)) {
	for at := e.from; ; {
		c, ok := f.elementAt(at, e.to)
		if !ok {
			return
		}
		visit(c)
		at = c.to
	}
}

// uint reads an unsigned integer of up to eight bytes; absent bytes are zero.
func (f *file) uint(e element) uint64 {
	var v uint64
	for _, c := range f.bytes(e.from, min(e.to, e.from+8)) {
		v = v<<8 | uint64(c)
	}
	return v
}

// float reads a float of four or eight bytes, else 0.
func (f *file) float(e element) float64 {
	switch p := f.bytes(e.from, min(e.to, e.from+8)); len(p) {
	case 4:
		return float64(math.Float32frombits(binary.BigEndian.Uint32(p)))
	case 8:
		return math.Float64frombits(binary.BigEndian.Uint64(p))
	}
	return 0
}

func (f *file) string(e element) string { return clean(string(f.text(e.from, e.to))) }
