package objects

import (
	"bytes"
	"fmt"
)

// A container is an object stream, unpacked (7.5.7).
type container struct {
	number  int
	data    []byte
	numbers []int32 // of the objects in it
	starts  []int32 // where each begins in data
}

// container is the object stream of that number. All of them are unpacked
// while the file is read, each once.
func (f *File) container(number int) (*container, error) {
	if c, ok := f.containers[number]; ok {
		return c, nil
	}
	e := f.entry(number)
	if e.state != direct || e.generation != 0 {
		return nil, damage(int(e.at), "there is no object stream %d", number)
	}
	v, _, err := f.object(number, e, core)
	if err != nil {
		return nil, err
	}
	s, ok := v.(*Stream)
	if !ok || s.Dict["Type"] != Name("ObjStm") {
		return nil, within(number, damage(int(e.at), "an object stream is expected, and there is none"))
	}
	data, err := s.Data(min(f.room, maxContainer))
	if err != nil {
		return nil, within(number, damage(int(e.at), "the object stream is not read: %v", err))
	}
	f.room -= len(data)
	if cap(data) > len(data)+len(data)/4 {
		data = bytes.Clone(data) // it is kept as long as the file
	}
	c := &container{number: number, data: data}
	if err := c.open(s.Dict); err != nil {
		return nil, err
	}
	f.containers[number] = c
	return c, nil
}

// where names the unpacked bytes in messages.
func (c *container) where() string { return fmt.Sprintf("object stream %d", c.number) }

func (c *container) damage(at int, format string, args ...any) error {
	return &Damage{at, c.where(), fmt.Sprintf(format, args...)}
}

// open reads the pairs of numbers at the head, and makes sure of every object.
func (c *container) open(d Dict) error {
	n, ok := d["N"].(int64)
	first, ok2 := d["First"].(int64)
	if !ok || !ok2 || n < 0 || first < 0 || first > int64(len(c.data)) || n > first {
		return c.damage(0, "N and First do not fit the %d bytes that there are", len(c.data))
	}
	p := parser{in: c.data, end: int(first)}
	c.numbers, c.starts = make([]int32, n), make([]int32, n)
	last := -1
	for i := range c.numbers {
		p.space()
		from := p.at
		number, ok := p.digits()
		p.space()
		start, ok2 := p.digits()
		switch {
		case !ok || !ok2 || number == 0 || number > maxNumber:
			return c.damage(from, "the number and the place of an object are expected, and %s stands there", p.excerpt(from))
		case start <= last || start >= len(c.data)-int(first):
			return c.damage(from, "object %d is placed at %d, which is not behind the one before it", number, start)
		}
		c.numbers[i], c.starts[i] = int32(number), int32(int(first)+start)
		last = start
	}
	if p.space(); p.at != p.end {
		return c.damage(p.at, "%s stands behind the places of the objects", p.excerpt(p.at))
	}
	p.end = len(c.data)
	if p.space(); n > 0 && p.at != int(c.starts[0]) || n == 0 && p.at != p.end {
		return c.damage(p.at, "%s stands before the first object", p.excerpt(p.at))
	}
	for i := range c.starts {
		if _, err := c.value(i, true); err != nil {
			return err
		}
	}
	return nil
}

// value is the i-th object.
func (c *container) value(i int, onlyCheck bool) (Value, error) {
	if i >= len(c.starts) {
		return nil, c.damage(0, "there are %d objects, and none of index %d", len(c.starts), i)
	}
	end := len(c.data)
	if i+1 < len(c.starts) {
		end = int(c.starts[i+1])
	}
	p := parser{in: c.data, at: int(c.starts[i]), end: end, refs: true, dry: onlyCheck, limit: maxWeight}
	v, err := p.value(0)
	if err == nil {
		if p.space(); p.at != end {
			err = damage(p.at, "%s stands behind the object", p.excerpt(p.at))
		}
	}
	if d, ok := err.(*Damage); ok {
		return nil, c.damage(d.At, "object %d: %s", c.numbers[i], d.What)
	}
	return v, err
}
