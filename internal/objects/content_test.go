package objects

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

func TestContent(t *testing.T) {
	const page = `q 1 0 0 1 72.5 -3 cm % moved
/P <</MCID 0>> BDC BT /F1 12 Tf [(A\)) -120 <42>] TJ (x)' ET EMC
true null f* Q`
	want := []string{"cm 1 0 0 1 72.5 -3", "BDC /P <</MCID 0>>", "BT", "Tf /F1 12", `TJ [(A\)) -120 (B)]`, "' (x)", "ET", "EMC", "f* true null", "Q"}
	want = append([]string{"q"}, want...)
	var got []string
	err := Content([]byte(page), func(operator string, operands []Value) error {
		for _, o := range operands {
			s, err := Spell(nil, o)
			if err != nil {
				return err
			}
			operator += " " + string(s)
		}
		got = append(got, operator)
		return nil
	})
	if err != nil || strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%q, want\n%q (%v)", got, want, err)
	}
}

func TestContentRefuses(t *testing.T) {
	nothing := func(string, []Value) error { return nil }
	for in, want := range map[string]string{
		"q BI /W 1 ID x EI":             "an inline image is not read at byte 2",
		"q (x":                          "a string does not end at byte 2",
		"q }":                           `an operator is expected, and "}" stands there at byte 2`,
		"q 1 2":                         "the last operands have no operator at byte 5",
		"1 0 R":                         "",
		strings.Repeat("1 ", 65) + "sc": "an operator has more than 64 operands at byte 128",
		strings.Repeat("null ", 65):     "an operator has more than 64 operands at byte 320",
	} {
		err := Content([]byte(in), nothing)
		if fmt.Sprint(err) != want && (err != nil || want != "") {
			t.Errorf("%q: error %v, want %s", in, err, want)
		}
	}
	stop := errors.New("enough")
	if err := Content([]byte("q Q"), func(string, []Value) error { return stop }); err != stop {
		t.Errorf("error %v, want %v", err, stop)
	}
}
