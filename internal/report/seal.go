package report

import (
	"fmt"
	"time"

	"saltline/internal/frame"
	"saltline/internal/unit"
	"saltline/internal/wording"
)

// A Seal is what a field shows of a digital signature in it.
type Seal struct {
	Name        string // of the person, from the certificate
	Role        string // as the document calls it
	At          time.Time
	Certificate [32]byte // its SHA-256
	Words       *wording.Words
	Fonts       *frame.Fonts
	W, H        float64 // of the field, in points
}

// Sizes of the text in a seal, in points: as large as the field allows.
var sealSizes = []float64{7, 6.5, 6, 5.5, 5}

// Draw draws the seal, and says in one line what is stated by it. It fails where
// a text cannot be filled; what does not fit is left out from the end.
func (s Seal) Draw() (*frame.Frame, string, error) {
	when := s.Words.Date(unit.Date{Year: s.At.Year(), Month: int(s.At.Month()), Day: s.At.Day()}) + " " + s.At.Format("15:04:05 -07:00")
	args := map[string]any{"Name": s.Name, "Role": s.Role, "When": when, "Certificate": fmt.Sprintf("%x", s.Certificate[:8])}
	shown, err := s.Words.Say("seal/shown", args)
	if err != nil {
		return nil, "", err
	}
	stated, err := s.Words.Say("seal/statement", args)
	if err != nil {
		return nil, "", err
	}
	f := &frame.Frame{W: s.W, H: s.H}
	var lines []string
	var size, leading float64
	for _, size = range sealSizes {
		leading = size * 1.15
		if lines = wrapped(s.Fonts, frame.Condensed, size, shown, s.W-2); float64(len(lines))*leading <= s.H {
			break
		}
	}
	y := leading
	for _, line := range lines {
		if y > s.H+1 {
			break
		}
		f.Put(1, y-0.2*size, frame.Text{S: line, Face: frame.Condensed, Size: size})
		y += leading
	}
	return f, stated, nil
}
