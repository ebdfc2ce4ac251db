package main

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"golang.org/x/term"
)

// passwordVariable is the environment variable of the password of an identity.
const passwordVariable = "SALTLINE_PASSWORD"

// secret is the password of the identity: from a file, from the environment, or
// asked for on the terminal, which does not show it.
func (r *sealRun) secret(s stream) (string, error) {
	if r.password != "" {
		data, err := readFile(r.password)
		if err != nil {
			return "", trouble(fmt.Sprintf("--password-file: %v", err), "")
		}
		line, _, _ := strings.Cut(string(data), "\n")
		return strings.TrimSuffix(line, "\r"), nil
	}
	if password, is := os.LookupEnv(passwordVariable); is {
		return password, nil
	}
	in, is := s.in.(*os.File)
	if !is || !term.IsTerminal(int(in.Fd())) {
		return "", usageError("no terminal to ask for the password on", "give it in a file with --password-file, or in the environment variable "+passwordVariable)
	}
	fmt.Fprintf(s.err, "password of %s: ", r.identity)
	password, err := term.ReadPassword(int(in.Fd()))
	fmt.Fprintln(s.err)
	return string(password), errors.Join(err)
}
