package cms

import (
	"bytes"
	"context"
	"errors"
	"io"
	"log"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// reply has openssl answer a question as a time-stamp service.
func (y yard) reply(t testing.TB, section string, question []byte) []byte {
	t.Helper()
	dir := t.TempDir()
	put(t, dir, "question", question)
	openssl(t, y.dir, "ts", "-reply", "-config", "settings", "-section", section, "-queryfile", filepath.Join(dir, "question"),
		"-signer", "stamping.pem", "-inkey", "stamping.key", "-chain", "chain.pem", "-out", filepath.Join(dir, "answer"))
	return get(t, dir, "answer")
}

// serve answers each question with what answer makes of it.
func serve(t testing.TB, answer func(question []byte) []byte) *httptest.Server {
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		question, err := io.ReadAll(r.Body)
		if err != nil || r.Method != http.MethodPost || r.Header.Get("Content-Type") != "application/timestamp-query" {
			t.Errorf("%s of %q: %v", r.Method, r.Header.Get("Content-Type"), err)
		}
		w.Header().Set("Content-Type", "application/timestamp-reply")
		w.Write(answer(question))
	}))
	t.Cleanup(server.Close)
	return server
}

func (y yard) signed(t testing.TB, who string) []byte {
	t.Helper()
	der, err := y.identity(t, who).Sign(digestOf(content))
	if err != nil {
		t.Fatal(err)
	}
	return der
}

// The stamps of openssl are taken, and openssl takes what comes of it.
func TestAddStamp(t *testing.T) {
	y := newYard(t)
	roots, _, err := RootsFromPEM(y.roots(t, "root"))
	if err != nil {
		t.Fatal(err)
	}
	for _, section := range []string{"service", "oldest"} { // the certificate by SHA-256, by SHA-1
		server := serve(t, func(q []byte) []byte { return y.reply(t, section, q) })
		for _, who := range []string{"rsa2048", "p384"} {
			before := y.signed(t, who)
			start := time.Now()
			der, err := AddStamp(t.Context(), server.Client(), server.URL+"/tsa", before)
			if err != nil {
				t.Fatalf("%s, %s: %v", section, who, err)
			}
			s, err := Parse(der)
			if err != nil {
				t.Fatal(err)
			}
			if err := errors.Join(s.Check(digestOf(content)), s.Stamp.Check(s.Value), s.Stamp.Trust(roots)); err != nil {
				t.Errorf("%s, %s: %v", section, who, err)
			}
			if off := s.Stamp.Time.Sub(start); off < -2*time.Second || off > time.Minute {
				t.Errorf("%s: the stamp says %v", section, s.Stamp.Time)
			}
			if name := s.Stamp.Certificate.Subject.CommonName; name != "stamping" {
				t.Errorf("%s: stamped by %s", section, name)
			}
			if out, err := y.judge(t, der, content); err != nil {
				t.Errorf("%s, %s: openssl does not verify what is stamped: %s", section, who, out)
			}
			dir := t.TempDir()
			put(t, dir, "token", s.message.unsigned[0].values[0])
			put(t, dir, "value", s.Value)
			if out, err := trial(dir, "ts", "-verify", "-in", "token", "-token_in", "-data", "value", "-CAfile", filepath.Join(y.dir, "root.pem"),
				"-untrusted", filepath.Join(y.dir, "chain.pem")); err != nil {
				t.Errorf("%s, %s: openssl does not verify the stamp: %s", section, who, out)
			}
			if err := s.Stamp.Check(append(bytes.Clone(s.Value), 0)); !errors.Is(err, ErrImprint) {
				t.Errorf("over another value: %v", err)
			}
			if _, err := AddStamp(t.Context(), server.Client(), server.URL, der); !errors.Is(err, ErrStamped) {
				t.Errorf("a second stamp: %v", err)
			}
			t.Logf("%s, %s: a stamp of %d bytes", section, who, len(der)-len(before))
		}
	}
}

// Services that answer what they should not.
func TestAddStampRefuses(t *testing.T) {
	y := newYard(t)
	der := y.signed(t, "p256")
	s, err := Parse(der)
	if err != nil {
		t.Fatal(err)
	}
	imprint := digestOf(s.Value)
	// altered has openssl answer another question: the byte at a place is
	// changed, counted from the imprint or, if negative, from the end.
	altered := func(at int) func(q []byte) []byte {
		return func(q []byte) []byte {
			q = bytes.Clone(q)
			if at < 0 {
				q[len(q)+at]++
			} else {
				q[bytes.Index(q, imprint[:])+at]++
			}
			return y.reply(t, "service", q)
		}
	}
	without := func(q []byte, tag byte) []byte { // the question without its nonce or its wish for the certificate
		r := read(q)
		in := r.in(tagSequence, "the question")
		var parts [][]byte
		for n := 0; in.more(); n++ {
			if raw := in.any("a part"); n < 2 || raw[0] != tag {
				parts = append(parts, raw)
			}
		}
		return sequence(parts...)
	}
	for _, c := range []struct {
		name   string
		answer func(q []byte) []byte
		want   error
		says   string
	}{
		{"another nonce", altered(-4), ErrNonce, ""},
		{"no nonce", func(q []byte) []byte { return y.reply(t, "service", without(q, tagInteger)) }, ErrNonce, ""},
		{"another imprint", altered(5), ErrImprint, ""},
		{"no certificate", func(q []byte) []byte { return y.reply(t, "service", without(q, tagBoolean)) }, ErrSigner, ""},
		{"rejection", func(q []byte) []byte { return y.reply(t, "refusing", q) }, ErrRefused, "it does not take SHA-256"},
		{"words of terror", func([]byte) []byte {
			return sequence(sequence(spell(2), sequence(element(tagUTF8, []byte("no\x1b[2J\u202e")))))
		}, ErrRefused, `"no\x1b[2J\u202e"`},
		{"granted, and nothing", func([]byte) []byte { return sequence(sequence(spell(0))) }, ErrService, "missing"},
		{"too much", func([]byte) []byte { return bytes.Repeat([]byte{tagSequence}, 10<<20) }, ErrService, "65536"},
		{"a page", func([]byte) []byte { return []byte("<html>welcome</html>") }, ErrService, "application/timestamp-reply"},
		{"nothing", func([]byte) []byte { return nil }, ErrService, ""},
		{"the signature itself", func([]byte) []byte { return sequence(sequence(spell(0)), der) }, ErrStamp, "1.2.840.113549.1.7.1"},
		{"cut short", func(q []byte) []byte { a := y.reply(t, "service", q); return a[:len(a)-9] }, ErrService, "cut short"},
		{"more behind", func(q []byte) []byte { return append(y.reply(t, "service", q), 0) }, ErrService, "follow"},
		{"a large stamp", func(q []byte) []byte {
			a := y.reply(t, "service", q)
			token, err := tokenIn(a)
			if err != nil {
				t.Error(err)
			}
			m, err := parse(token)
			if err != nil {
				t.Error(err)
			}
			return sequence(sequence(spell(0)), m.with(sequence(dotted("1.2.3.4"), element(tagSet, element(tagOctets, make([]byte, StampRoom))))))
		}, ErrService, "room"},
	} {
		server := serve(t, c.answer)
		out, err := AddStamp(t.Context(), server.Client(), server.URL, der)
		if !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.says) || out != nil {
			t.Errorf("%s: %v, want %v with %q", c.name, err, c.want, c.says)
		} else if strings.ContainsAny(err.Error(), "\x1b\n\u202e") {
			t.Errorf("%s: control characters reach the reader: %q", c.name, err)
		}
		server.Close()
	}
}

// Tokens that certificates not for stamping sign, or out of their period;
// openssl as a service would refuse to.
func TestStamper(t *testing.T) {
	y := newYard(t)
	der := y.signed(t, "p256")
	year := func(back int) []byte { return []byte(strconv.Itoa(time.Now().UTC().Year() - back)) }
	for _, c := range []struct {
		who  string
		back int // years
		want error
	}{{"stamping", 0, nil}, {"p384", 0, ErrStamper}, {"mixed", 0, ErrStamper}, {"both", 0, ErrStamper}, {"stamping", 5, ErrEarly}, {"stamping", -5, ErrExpired}} {
		server := serve(t, func(q []byte) []byte {
			token, err := tokenIn(y.reply(t, "service", q))
			if err != nil {
				t.Error(err)
			}
			m, err := parse(token)
			if err != nil {
				t.Error(err)
			}
			text := m.content
			for length := byte(15); length <= 19; length++ { // fractions of a second without their last zeros
				text = bytes.Replace(text, append([]byte{tagTime, length}, year(0)...), append([]byte{tagTime, length}, year(c.back)...), 1)
			}
			if bytes.Equal(text, m.content) != (c.back == 0) {
				t.Errorf("the time is not where it was expected in %x", m.content)
			}
			dir := t.TempDir()
			put(t, dir, "text", text)
			return sequence(sequence(spell(0)), y.sign(t, c.who, "-cades", "-nodetach", "-econtent_type", oidStampText, "-in", filepath.Join(dir, "text")))
		})
		out, err := AddStamp(t.Context(), server.Client(), server.URL, der)
		if !errors.Is(err, c.want) {
			t.Errorf("%s, %d years back: %v, want %v", c.who, c.back, err, c.want)
		}
		if c.want == nil {
			if s, err := Parse(out); err != nil || s.Stamp.Check(s.Value) != nil {
				t.Errorf("%s: %v", c.who, err)
			}
		}
	}
}

// Addresses and ways that are not gone.
func TestAddStampAddress(t *testing.T) {
	y := newYard(t)
	der := y.signed(t, "p256")
	good := serve(t, func(q []byte) []byte { return y.reply(t, "service", q) })
	// The path says where to go: /307?to=... with that status.
	way := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		status, _ := strconv.Atoi(r.URL.Path[1:])
		to := r.URL.Query().Get("to")
		if to == "" {
			to = r.URL.String()
		}
		w.Header().Set("Location", to)
		w.WriteHeader(status)
	}))
	t.Cleanup(way.Close)
	secure := httptest.NewUnstartedServer(way.Config.Handler)
	secure.Config.ErrorLog = log.New(io.Discard, "", 0)
	secure.StartTLS()
	t.Cleanup(secure.Close)
	gone := httptest.NewServer(http.NotFoundHandler())
	gone.Close()
	for _, c := range []struct {
		name    string
		client  *http.Client
		address string
		want    error
		says    string
	}{
		{"to the service", good.Client(), good.URL, nil, ""},
		{"over one that sends on", way.Client(), way.URL + "/307?to=" + good.URL, nil, ""},
		{"over one that sends on for good", way.Client(), way.URL + "/308?to=" + good.URL, nil, ""},
		{"moved", way.Client(), way.URL + "/301?to=" + good.URL, ErrService, "has moved"},
		{"see elsewhere", way.Client(), way.URL + "/303?to=" + good.URL, ErrService, "has moved"},
		{"round and round", way.Client(), way.URL + "/307", ErrService, "more than 5"},
		{"to a file", way.Client(), way.URL + "/307?to=file:///etc/hostname", ErrService, "redirection"},
		{"down from https", secure.Client(), secure.URL + "/307?to=" + good.URL, ErrService, "redirection from https"},
		{"not trusted", &http.Client{}, secure.URL + "/307?to=" + good.URL, ErrService, "certificate"},
		{"an error", way.Client(), way.URL + "/500", ErrService, "status 500"},
		{"no service", &http.Client{}, gone.URL, ErrService, "refused"},
		{"no client", nil, good.URL, ErrService, "client"},
		{"a file", good.Client(), "file:///etc/hostname", ErrService, "http://"},
		{"no host", good.Client(), "http:///tsa", ErrService, "http://"},
		{"no scheme", good.Client(), "stamps.example/tsa", ErrService, "http://"},
		{"no address", good.Client(), "", ErrService, "http://"},
		{"a password in it", &http.Client{}, strings.Replace(gone.URL, "http://", "http://who:tide@", 1), ErrService, "refused"},
	} {
		out, err := AddStamp(t.Context(), c.client, c.address, der)
		if !errors.Is(err, c.want) || err != nil && !strings.Contains(err.Error(), c.says) || (out == nil) != (c.want != nil) {
			t.Errorf("%s: %v, want %v with %q", c.name, err, c.want, c.says)
		}
		if err != nil && strings.Contains(err.Error(), "tide") {
			t.Errorf("%s: the password is told: %v", c.name, err)
		}
	}
	if _, err := AddStamp(t.Context(), good.Client(), good.URL, der[1:]); !errors.Is(err, ErrForm) {
		t.Errorf("what is no signature: %v", err)
	}
}

// A service that does not answer is given up when the caller gives up.
func TestAddStampPatience(t *testing.T) {
	y := newYard(t)
	der := y.signed(t, "p256")
	release := make(chan struct{})
	silent := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.WriteHeader(http.StatusOK)
		w.Write([]byte{tagSequence})
		w.(http.Flusher).Flush()
		<-release
	}))
	t.Cleanup(silent.Close)
	t.Cleanup(func() { close(release) })
	ctx, stop := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer stop()
	if _, err := AddStamp(ctx, silent.Client(), silent.URL, der); !errors.Is(err, ErrService) || !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("%v, want ErrService and the end of time", err)
	}
}

// A stamp that cannot be read, or one of two, leaves the signature to be
// checked for itself.
func TestStampDamaged(t *testing.T) {
	id := holder(t, 1)
	der, err := id.Sign(digestOf(content))
	if err != nil {
		t.Fatal(err)
	}
	m, err := parse(der)
	if err != nil {
		t.Fatal(err)
	}
	for name, attribute := range map[string][]byte{
		"none":          sequence(dotted(oidStamp), element(tagSet)),
		"no token":      sequence(dotted(oidStamp), element(tagSet, spell("noon"))),
		"two":           sequence(dotted(oidStamp), element(tagSet, der, der)),
		"no time in it": sequence(dotted(oidStamp), element(tagSet, der)),
	} {
		s, err := Parse(m.with(attribute))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if err := s.Check(digestOf(content)); err != nil {
			t.Errorf("%s: Check: %v", name, err)
		}
		if s.Stamp == nil || !errors.Is(s.Stamp.Check(s.Value), ErrStamp) || !errors.Is(s.Stamp.Trust(nil), ErrStamp) {
			t.Errorf("%s: the stamp is taken: %v", name, s.Stamp)
		}
	}
	if s, err := Parse(m.with(sequence(dotted("1.2.3.4"), element(tagSet)))); err != nil || s.Stamp != nil || s.Check(digestOf(content)) != nil {
		t.Errorf("an attribute that is no stamp: %v", err)
	}
}
