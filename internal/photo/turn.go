package photo

// A Turn is how a picture is turned to stand upright, as numbered by EXIF: its
// first row is the top (1, 2), the bottom (3, 4), the left side (5, 8) or the
// right side (6, 7) of what was seen.
type Turn uint16

// Upright is the Turn of a picture that is stored as it was seen.
const Upright Turn = 1

func (t Turn) known() bool { return 1 <= t && t <= 8 }

// sideways reports whether width and height change places.
func (t Turn) sideways() bool { return 5 <= t && t <= 8 }

// from is where in a stored plane of w × h the pixel at x, y of the upright
// one stands.
func (t Turn) from(x, y, w, h int) (int, int) {
	switch t {
	case 2:
		return w - 1 - x, y
	case 3:
		return w - 1 - x, h - 1 - y
	case 4:
		return x, h - 1 - y
	case 5:
		return y, x
	case 6:
		return y, h - 1 - x
	case 7:
		return w - 1 - y, h - 1 - x
	case 8:
		return w - 1 - y, x
	}
	return x, y
}

// turn is p, upright.
func (t Turn) turn(p plane) plane {
	if t == Upright {
		return p
	}
	out := newPlane(p.w, p.h, p.n)
	if t.sideways() {
		out.w, out.h = p.h, p.w
	}
	i := 0
	for y := range out.h {
		for x := range out.w {
			sx, sy := t.from(x, y, p.w, p.h)
			i += copy(out.pix[i:i+p.n], p.pix[(sy*p.w+sx)*p.n:])
		}
	}
	return out
}
