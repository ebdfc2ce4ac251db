package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"
)

// version is printed in every document.
const version = "0.5.0"

// tool names the program as documents and JSON do.
const tool = "saltline " + version

// A stream is where a command reads and writes.
type stream struct {
	in       io.Reader
	out, err io.Writer

	again *again // nil where a document is not made from what another carries
}

// A command is one verb of the command line.
type command struct {
	name  string
	short string // one line for the list of commands
	run   func(args []string, s stream) error
}

// commands in the order in which the help lists them.
func commands() []command {
	return []command{
		{"report", "the daily report of each day, as PDF", runReport},
		{"certificate", "one certificate per area, or the reasons why not", runCertificate},
		{"handover", "the dossier of the whole job", runHandover},
		{"audit", "recorded values against recomputed ones", runAudit},
		{"seal", "add a person's digital signature", runSeal},
		{"verify", "what a document carries, whether it follows, its signatures", runVerify},
		{"density", "one surface density, with its arithmetic", runDensity},
		{"workbook", "an empty job workbook to fill in on site", runWorkbook},
		{"explain", "what a finding means, its rule and its next step", runExplain},
	}
}

const help = `usage: saltline COMMAND [OPTION]… [ARGUMENT]…

saltline reads field logs of soluble-salt tests on blast-cleaned steel,
recomputes and judges every value, and writes the documents of the job.

commands:
`

// run carries out one command line and returns its exit status.
func run(args []string, in io.Reader, out, errOut io.Writer) (status int) {
	errOut = plainWriter{errOut}
	defer func() {
		if r := recover(); r != nil { // a fault of the program: say so, and let no trace look like a result
			fmt.Fprintf(errOut, "saltline: a fault of the program stopped it: %v\nhint: the record is untouched; report the fault with the command line\n", r)
			status = 1
		}
	}()
	err := dispatch(args, stream{in: in, out: out, err: errOut})
	switch {
	case err == nil:
		return 0
	case errors.Is(err, pflag.ErrHelp): // the help is printed and was asked for
		return 0
	}
	printError(errOut, err)
	var known *statusError
	if !errors.As(err, &known) {
		return 1
	}
	return known.code
}

// printError prints an error and, if something is known to help, what to do.
func printError(w io.Writer, err error) {
	fmt.Fprintf(w, "saltline: %v\n", err)
	var known *statusError
	if errors.As(err, &known) && known.hint != "" {
		fmt.Fprintf(w, "hint: %s\n", known.hint)
	}
}

func dispatch(args []string, s stream) error {
	if len(args) == 0 {
		printHelp(s.err)
		return usageError("no command given", "name one of the commands above")
	}
	switch args[0] {
	case "-h", "--help", "help":
		printHelp(s.out)
		return nil
	case "--version", "version":
		fmt.Fprintln(s.out, tool)
		return nil
	}
	all := commands()
	i := slices.IndexFunc(all, func(c command) bool { return c.name == args[0] })
	if i < 0 {
		return usageError(fmt.Sprintf("unknown command %q", args[0]), "the commands are "+commandNames(all))
	}
	return all[i].run(args[1:], s)
}

func printHelp(w io.Writer) {
	fmt.Fprint(w, help)
	for _, c := range commands() {
		fmt.Fprintf(w, "  %-11s %s\n", c.name, c.short)
	}
	fmt.Fprint(w, "\n`saltline COMMAND --help` prints the options of a command.\n")
}

func commandNames(all []command) string {
	names := make([]string, len(all))
	for i, c := range all {
		names[i] = c.name
	}
	return strings.Join(names, ", ")
}

// A statusError is an error with the exit status that it leads to and, if
// something is known to help, what to do.
type statusError struct {
	code      int
	msg, hint string
}

func (e *statusError) Error() string { return e.msg }

// usageError is an error of the command line.
func usageError(msg, hint string) error { return &statusError{2, msg, hint} }

// trouble is an error that kept the work from being done.
func trouble(msg, hint string) error { return &statusError{1, msg, hint} }

// parseFlags reads the flags of one command. Its help, where it is asked for,
// goes to standard output.
func parseFlags(name, usage string, flags *pflag.FlagSet, args []string, s stream) error {
	flags.SortFlags = false
	flags.SetOutput(io.Discard)
	flags.Usage = func() {}
	err := flags.Parse(args)
	switch {
	case errors.Is(err, pflag.ErrHelp):
		fmt.Fprintf(s.out, "%s\noptions:\n%s", usage, flags.FlagUsages())
		return err
	case err != nil:
		return usageError(err.Error(), "saltline "+name+" --help lists the options")
	}
	return nil
}
