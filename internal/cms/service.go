package cms

import (
	"bytes"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/asn1"
	"errors"
	"fmt"
	"io"
	"math/big"
	"net/http"
	"net/url"
	"strings"
	"time"
)

// Errors of asking a time-stamp service, beside those of Stamp.Check.
var (
	// ErrService: the service was not reached, or what it answered is no
	// answer of a time-stamp service.
	ErrService = errors.New("no time stamp was obtained")
	// ErrRefused: the service answered that it gives none.
	ErrRefused = errors.New("the time-stamp service gives no stamp")
	// ErrNonce: the answer is to another question.
	ErrNonce = errors.New("the time stamp answers another question")
	// ErrStamped: the signature has a time stamp already.
	ErrStamped = errors.New("the signature has a time stamp already")
)

const (
	// StampRoom is the number of bytes that AddStamp adds at most; services
	// known today stay below 9,000 (from memory).
	StampRoom = 16 << 10

	maxAnswer    = 64 << 10 // bytes of an answer
	maxRedirects = 5
	patience     = time.Minute // where the caller's context has more
)

// AddStamp asks the RFC 3161 service at an http or https address to state when
// the signature was there, sees that the answer is for it, and gives back the
// signature with the stamp, as ETSI EN 319 142-1 wants it for B-T. Whether the
// service is to be trusted, it does not ask: that is Stamp.Trust. It gives up
// when ctx ends, or after a minute. The client is used as it is, but for
// redirections: those that would turn the question into another one, leave
// http and https, or leave https, are not followed.
func AddStamp(ctx context.Context, client *http.Client, address string, signed []byte) ([]byte, error) {
	m, err := parse(signed)
	if err != nil {
		return nil, err
	}
	if m.stamp() != nil {
		return nil, ErrStamped
	}
	// Positive, and never of a form that the service would write shorter.
	var nonce [8]byte
	if _, err := rand.Read(nonce[:]); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrService, err)
	}
	nonce[0] = nonce[0]&0x3f | 0x40
	imprint := sha256.Sum256(m.value)
	// TimeStampReq of RFC 3161, 2.4.1; the last element asks for the
	// service's certificate.
	question := sequence(spell(1), sequence(sequence(dotted(oidSHA256)), spell(imprint[:])),
		element(tagInteger, nonce[:]), element(tagBoolean, []byte{0xff}))
	answer, err := ask(ctx, client, address, question)
	if err != nil {
		return nil, err
	}
	token, err := tokenIn(answer)
	if err != nil {
		return nil, err
	}
	t, err := parseStamp(token)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrService, err)
	}
	if t.nonce == nil || t.nonce.Cmp(new(big.Int).SetBytes(nonce[:])) != 0 {
		return nil, ErrNonce
	}
	if err := t.Check(m.value); err != nil {
		return nil, fmt.Errorf("the time stamp: %w", err)
	}
	out := m.with(sequence(dotted(oidStamp), element(tagSet, token)))
	if len(out) > len(signed)+StampRoom {
		return nil, fmt.Errorf("%w: a stamp of %d bytes, where there is room for %d", ErrService, len(out)-len(signed), StampRoom)
	}
	return out, nil
}

// ask posts a question and gives the answer: RFC 3161, 3.4.
func ask(ctx context.Context, client *http.Client, address string, question []byte) ([]byte, error) {
	if client == nil {
		return nil, fmt.Errorf("%w: there is no client to ask it with", ErrService)
	}
	u, err := url.Parse(address)
	if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
		// The address may hold a password, and is not repeated.
		return nil, fmt.Errorf("%w: its address does not begin with http:// or https:// and a host", ErrService)
	}
	ctx, stop := context.WithTimeout(ctx, patience)
	defer stop()
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, u.String(), bytes.NewReader(question))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrService, err)
	}
	request.Header.Set("Content-Type", "application/timestamp-query")
	careful := *client
	careful.CheckRedirect = redirection
	response, err := careful.Do(request)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrService, printable{err})
	}
	defer response.Body.Close()
	if response.StatusCode != http.StatusOK {
		return nil, fmt.Errorf("%w: the service answered with the status %d", ErrService, response.StatusCode)
	}
	answer, err := io.ReadAll(io.LimitReader(response.Body, maxAnswer+1))
	switch {
	case err != nil:
		return nil, fmt.Errorf("%w: %w", ErrService, printable{err})
	case len(answer) > maxAnswer:
		return nil, fmt.Errorf("%w: the answer has more than %d bytes", ErrService, maxAnswer)
	case len(answer) == 0 || answer[0] != tagSequence:
		return nil, fmt.Errorf("%w: the answer is of the kind %.60q", ErrService, response.Header.Get("Content-Type"))
	}
	return answer, nil
}

// redirection says whether the question may go to another address.
func redirection(to *http.Request, from []*http.Request) error {
	switch {
	case len(from) > maxRedirects:
		return fmt.Errorf("more than %d redirections", maxRedirects)
	case to.Method != http.MethodPost: // 301 to 303 drop what is asked
		return errors.New("the service has moved")
	case to.URL.Scheme != "https" && (to.URL.Scheme != "http" || from[len(from)-1].URL.Scheme == "https"):
		return fmt.Errorf("a redirection from %s to %.20q", from[len(from)-1].URL.Scheme, to.URL.Scheme)
	}
	return nil
}

// tokenIn reads a TimeStampResp (RFC 3161, 2.4.2) and gives its token.
func tokenIn(answer []byte) ([]byte, error) {
	r := read(answer)
	response := r.in(tagSequence, "the answer")
	r.end("the answer")
	state := response.in(tagSequence, "the status of the answer")
	var code int
	state.leaf(tagInteger, &code, "the status of the answer")
	var reasons []string
	if state.has(tagSequence) {
		for texts := state.in(tagSequence, "the status of the answer"); texts.more(); {
			reasons = append(reasons, fmt.Sprintf("%.200q", texts.body(tagUTF8, "the words of the status")))
		}
	}
	if state.has(tagBits) {
		var bits asn1.BitString
		state.leaf(tagBits, &bits, "the reason of the status")
		for _, f := range failures {
			if bits.At(f.bit) == 1 {
				reasons = append(reasons, f.words)
			}
		}
	}
	state.end("the status of the answer")
	if *r.err == nil && code != 0 && code != 1 { // granted; granted with changes
		return nil, fmt.Errorf("%w: status %d %s", ErrRefused, code, strings.Join(reasons[:min(len(reasons), 4)], ", "))
	}
	token := response.raw(tagSequence, "the time stamp")
	response.end("the time stamp")
	if *r.err != nil {
		return nil, fmt.Errorf("%w: %w", ErrService, *r.err)
	}
	return token, nil
}

// failures are the reasons of PKIFailureInfo: RFC 3161, 2.4.2.
var failures = []struct {
	bit   int
	words string
}{
	{0, "it does not take SHA-256"},
	{2, "it does not allow the question"},
	{5, "it cannot read the question"},
	{14, "its clock is not available"},
	{15, "it does not know the policy"},
	{16, "it does not know an extension"},
	{17, "it does not know what else was asked for"},
	{25, "it has failed itself"},
}
