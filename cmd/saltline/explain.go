package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/record"
	"saltline/internal/slip"
	"saltline/internal/wording"
)

const explainUsage = `usage: saltline explain [CHECK]

Prints what a finding means: its rule, what it looks at, and the next step.
Without a name it lists the checks, and the slips that may explain a written
value.
`

func runExplain(args []string, s stream) error {
	flags := pflag.NewFlagSet("explain", pflag.ContinueOnError)
	dir := flags.String("templates", "", "a folder whose texts take the place of the built-in ones")
	if err := parseFlags("explain", explainUsage, flags, args, s); err != nil {
		return err
	}
	tongue, err := tongueOf("", *dir)
	if err != nil {
		return err
	}
	words, err := tongue.english()
	if err != nil {
		return err
	}
	switch flags.NArg() {
	case 0:
		return listChecks(s.out, words)
	case 1:
		return explainOne(s.out, words, flags.Arg(0))
	}
	return usageError(fmt.Sprintf("%d names given, but wanted one", flags.NArg()), "saltline explain lists the names")
}

var groupNames = []struct {
	group assess.Group
	name  string
}{
	{assess.Arithmetic, "arithmetic and units"},
	{assess.WaterAndBlank, "water and blank"},
	{assess.MeterAndCalibration, "meter and calibration"},
	{assess.ExtractionAndClock, "extraction and clock"},
	{assess.PatchAndSubstrate, "patch and substrate"},
	{assess.TemperatureAndAmbient, "temperature and ambient"},
	{assess.SamplingAndRetests, "sampling, fails and retests"},
	{assess.Integrity, "patterns in the record"},
}

func listChecks(out io.Writer, words *wording.Words) error {
	say := sayer{words: words}
	var b strings.Builder
	b.WriteString("Checks, by the part of the work that they ask about:\n")
	for _, g := range groupNames {
		fmt.Fprintf(&b, "\n%s\n", g.name)
		for _, c := range check.All() {
			if c.Group == g.group {
				fmt.Fprintf(&b, "  %-34s %s\n", c.Name, say.text("checks/"+c.Name+"/rule"))
			}
		}
	}
	b.WriteString("\nSlips that may explain a written value:\n\n")
	for _, x := range slip.All() {
		fmt.Fprintf(&b, "  %-34s %s\n", x.Name, say.text("slips/"+x.Name+"/title"))
	}
	if say.err != nil {
		return say.err
	}
	_, err := io.WriteString(out, b.String())
	return err
}

func explainOne(out io.Writer, words *wording.Words, name string) error {
	say := sayer{words: words}
	var b strings.Builder
	if i := slices.IndexFunc(check.All(), func(c *assess.Check) bool { return c.Name == name }); i >= 0 {
		explainCheck(&b, &say, check.All()[i])
	} else if slices.ContainsFunc(slip.All(), func(x slip.Slip) bool { return x.Name == name }) {
		fmt.Fprintf(&b, "%s: %s\n\n%s\n", name, say.text("slips/"+name+"/title"), fold(say.text("slips/"+name+"/doc")))
	} else {
		return usageError(fmt.Sprintf("no check or slip is called %q", name), nearest(name))
	}
	if say.err != nil {
		return say.err
	}
	_, err := io.WriteString(out, b.String())
	return err
}

// explainCheck prints one check: its rule, what it looks at, the next step as
// far as it does not depend on what is found, and its settings.
func explainCheck(b *strings.Builder, say *sayer, c *assess.Check) {
	key := "checks/" + c.Name + "/"
	fmt.Fprintf(b, "%s\n\n%s\n\n%s\n", c.Name, fold(say.text(key+"rule")), fold(say.text(key+"doc")))
	owner := c.Owner.String()
	if next, err := say.words.Say(key+"next", anyFinding); err == nil {
		fmt.Fprintf(b, "\n%s\n", fold(say.with("report/next-by", owner)+" "+next))
	} else {
		fmt.Fprintf(b, "\n%s\n", fold(say.with("report/next-by", owner)+" as the finding says."))
	}
	basis := assess.Run(&record.Job{}, nil).Basis
	for _, k := range c.Settings {
		if set, ok := basis.Setting(k); ok {
			value := say.words.Figure(set.Value)
			fmt.Fprintf(b, "\nhouse setting, where the record states none: %s = %s\n", k, strings.TrimSpace(value+" "+set.Unit))
		}
	}
}

// anyFinding fills the next step of a check where there is no finding: "repeat
// tests concerned".
var anyFinding = map[string]any{"Tests": "concerned", "Areas": "concerned", "Count": 2}

// nearest names the checks and slips that share a word with name.
func nearest(name string) string {
	var like []string
	add := func(other string) {
		for _, word := range strings.Split(name, "-") {
			if len(word) > 3 && strings.Contains(other, word) && !slices.Contains(like, other) {
				like = append(like, other)
			}
		}
	}
	for _, c := range check.All() {
		add(c.Name)
	}
	for _, x := range slip.All() {
		add(x.Name)
	}
	if len(like) == 0 {
		return "saltline explain lists the names"
	}
	return "did you mean " + strings.Join(like, ", ") + "?"
}

// A sayer keeps the first text that is missing.
type sayer struct {
	words *wording.Words
	err   error
}

func (s *sayer) text(key string) string { return s.with(key, nil) }

func (s *sayer) with(key string, data any) string {
	t, err := s.words.Say(key, data)
	if err != nil && s.err == nil {
		s.err = err
	}
	return t
}

// isSpace reports whether a line may be broken at c: not at a no-break space.
func isSpace(c rune) bool { return c == ' ' || c == '\n' || c == '\t' }

// fold breaks text into lines of at most 78 characters.
func fold(text string) string {
	var b strings.Builder
	for i, p := range strings.Split(text, "\n\n") {
		if i > 0 {
			b.WriteString("\n\n")
		}
		width := 0
		for j, word := range strings.FieldsFunc(p, isSpace) {
			n := len([]rune(word))
			switch {
			case j == 0:
			case width+1+n > 78:
				b.WriteByte('\n')
				width = 0
			default:
				b.WriteByte(' ')
				width++
			}
			b.WriteString(word)
			width += n
		}
	}
	return b.String()
}
