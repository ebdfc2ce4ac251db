package plot

// A box is a rectangle on the grid, y downwards.
type box struct{ left, top, right, bottom int }

func (b box) overlaps(c box) bool {
	return b.left < c.right && c.left < b.right && b.top < c.bottom && c.top < b.bottom
}

func (b box) move(dx, dy int) box { return box{b.left + dx, b.top + dy, b.right + dx, b.bottom + dy} }

// into is b, moved sideways to lie between left and right.
func (b box) into(left, right int) box {
	if d := b.right - right; d > 0 {
		b = b.move(-d, 0)
	}
	if d := left - b.left; d > 0 {
		b = b.move(d, 0)
	}
	return b
}

// overlapsAny reports whether b overlaps one of boxes.
func (b box) overlapsAny(boxes []box) bool {
	for _, c := range boxes {
		if b.overlaps(c) {
			return true
		}
	}
	return false
}
