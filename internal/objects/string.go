package objects

// literal takes a string in parentheses (7.3.4.2).
func (p *parser) literal() (Value, error) {
	from := p.at
	p.at++
	var out String
	if !p.dry {
		out = String{}
	}
	put := func(c byte) {
		if !p.dry {
			out = append(out, c)
		}
	}
	for open := 1; p.at < p.end; {
		c := p.in[p.at]
		p.at++
		switch c {
		case '(':
			open++
		case ')':
			if open--; open == 0 {
				p.weight += p.at - from
				if p.dry {
					return nil, nil
				}
				return out, nil
			}
		case '\r':
			if p.at < p.end && p.in[p.at] == '\n' {
				p.at++
			}
			c = '\n'
		case '\\':
			var ok bool
			if c, ok = p.escape(); !ok {
				continue
			}
		}
		put(c)
	}
	return nil, p.fail(from, "a string does not end")
}

// escape takes what stands behind a reverse solidus; false where that stands
// for nothing.
func (p *parser) escape() (byte, bool) {
	if p.at >= p.end {
		return 0, false
	}
	c := p.in[p.at]
	p.at++
	switch c {
	case 'n':
		return '\n', true
	case 'r':
		return '\r', true
	case 't':
		return '\t', true
	case 'b':
		return '\b', true
	case 'f':
		return '\f', true
	case '\n':
		return 0, false
	case '\r':
		if p.at < p.end && p.in[p.at] == '\n' {
			p.at++
		}
		return 0, false
	}
	if c < '0' || c > '7' {
		return c, true
	}
	code := c - '0'
	for range 2 {
		if p.at >= p.end || p.in[p.at] < '0' || p.in[p.at] > '7' {
			break
		}
		code = code<<3 | (p.in[p.at] - '0') // what is above 255 is cut off
		p.at++
	}
	return code, true
}

// hex takes a string of hexadecimal digits (7.3.4.3).
func (p *parser) hex() (Value, error) {
	from := p.at
	p.at++
	var out String
	if !p.dry {
		out = String{}
	}
	odd, half := false, byte(0)
	for ; p.at < p.end; p.at++ {
		c := p.in[p.at]
		if c == '>' {
			p.at++
			p.weight += (p.at - from) / 2
			if p.dry {
				return nil, nil
			}
			if odd {
				out = append(out, half<<4)
			}
			return out, nil
		}
		if kinds[c] == white {
			continue
		}
		digit, ok := unhex(c)
		if !ok {
			return nil, p.fail(p.at, "%s is no hexadecimal digit", p.excerpt(p.at))
		}
		if odd && !p.dry {
			out = append(out, half<<4|digit)
		}
		half, odd = digit, !odd
	}
	return nil, p.fail(from, "a string of hexadecimal digits does not end")
}

func unhex(c byte) (byte, bool) {
	switch {
	case c >= '0' && c <= '9':
		return c - '0', true
	case c >= 'a' && c <= 'f':
		return c - 'a' + 10, true
	case c >= 'A' && c <= 'F':
		return c - 'A' + 10, true
	}
	return 0, false
}
