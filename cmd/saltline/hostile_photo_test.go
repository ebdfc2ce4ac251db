package main

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"
)

// chunk is a part of a PNG with its sum.
func chunk(kind string, body []byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	b = append(append(b, kind...), body...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

// pngOf is a PNG of a size, a depth and a kind of colour, with so many bytes of
// nothing for its pixels.
func pngOf(w, h uint32, depth, colours byte, pixels int, more ...[]byte) []byte {
	head := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w), h)
	var packed bytes.Buffer
	z := zlib.NewWriter(&packed)
	zeros := make([]byte, 1<<16)
	for ; pixels > 0; pixels -= len(zeros) {
		z.Write(zeros[:min(pixels, len(zeros))]) // into memory
	}
	z.Close()
	return slices.Concat([]byte("\x89PNG\r\n\x1a\n"), chunk("IHDR", append(head, depth, colours, 0, 0, 0)), slices.Concat(more...),
		chunk("IDAT", packed.Bytes()), chunk("IEND", nil))
}

// sized is a JPEG that says that it has another size.
func sized(data []byte, w, h uint16) []byte {
	data = bytes.Clone(data)
	at := bytes.Index(data, []byte{0xff, 0xc0})
	binary.BigEndian.PutUint16(data[at+5:], h)
	binary.BigEndian.PutUint16(data[at+7:], w)
	return data
}

// noted is a JPEG with notes of a camera.
func noted(data []byte, notes string) []byte {
	body := "Exif\x00\x00" + notes
	return slices.Concat(data[:2], []byte{0xff, 0xe1, byte((len(body) + 2) >> 8), byte(len(body) + 2)}, []byte(body), data[2:])
}

// Pictures that are made to fill the memory or are not what they say: each is
// named in the document as what it is, and none keeps it from being made.
func TestPicturesOfStrangers(t *testing.T) {
	small := photoBytes(t, 9)
	coloured := func(m image.Image) []byte {
		var b bytes.Buffer
		if err := png.Encode(&b, m); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	var inColour bytes.Buffer
	if err := jpeg.Encode(&inColour, image.NewYCbCr(image.Rect(0, 0, 64, 48), image.YCbCrSubsampleRatio420), nil); err != nil {
		t.Fatal(err)
	}
	deep := image.NewNRGBA64(image.Rect(0, 0, 20, 10))
	deep.Set(3, 3, color.NRGBA64{0xffff, 1, 2, 0x8000})
	loop := "II*\x00\x08\x00\x00\x00" + "\x02\x00" + "\x69\x87\x04\x00\x01\x00\x00\x00\x08\x00\x00\x00" + "\x12\x01\x03\x00\x01\x00\x00\x00\xff\xff\x00\x00" + "\x08\x00\x00\x00"
	grey, colours := uint32(2_000), uint32(1_500) // the sides of pictures of nothing
	if os.Getenv("SALTLINE_LARGE") != "" {
		grey, colours = 10_900, 8_000
	}
	pictures := []struct {
		name string
		data []byte
		want string
	}{
		{"huge.png", pngOf(100_000, 100_000, 8, 2, 10), "large"},
		{"wide.png", pngOf(0x7fffffff, 1, 8, 2, 10), "large"},
		{"negative.png", pngOf(0xffffffff, 0xffffffff, 8, 2, 10), "broken"},
		{"nothing.png", pngOf(0, 0, 8, 2, 10), "broken"},
		{"thin.png", pngOf(10_000, 10_000, 8, 0, 1_000), "broken"},
		{"bomb.png", pngOf(grey, grey, 8, 0, int((grey+1)*grey)), "found"},
		{"bomb of colours.png", pngOf(colours, colours, 8, 6, int(colours*(4*colours+1))), "found"},
		{"bomb of deep colours.png", pngOf(10_000, 10_000, 16, 6, 1<<20), "large"},
		{"deep.png", coloured(deep), "found"},
		{"no palette.png", pngOf(10, 10, 8, 3, 110), "broken"},
		{"moving.png", pngOf(10, 10, 8, 0, 110, chunk("acTL", []byte{0, 0, 0, 9, 0, 0, 0, 0}), chunk("fcTL", make([]byte, 26))), "found"},
		{"profile of nonsense.png", pngOf(10, 10, 8, 0, 110, chunk("iCCP", []byte("x\x00\x00nonsense"))), "found"},
		{"profile that unfolds.png", pngOf(10, 10, 8, 0, 110, chunk("zTXt", []byte("x\x00\x00"+strings.Repeat("\x78", 1_000)))), "found"},
		{"long chunk.png", append(pngOf(10, 10, 8, 0, 110)[:33], 0x7f, 0xff, 0xff, 0xff, 'I', 'D', 'A', 'T'), "broken"},
		{"cut.png", pngOf(10, 10, 8, 0, 110)[:50], "broken"},
		{"high.jpg", sized(small, 60, 65_535), "broken"},
		{"huge.jpg", sized(small, 65_535, 65_535), "large"},
		{"low.jpg", sized(inColour.Bytes(), 8, 8), "found"},
		{"no size.jpg", sized(small, 0, 0), "broken"},
		{"cut.jpg", small[:len(small)/2], "broken"},
		{"head alone.jpg", []byte("\xff\xd8\xff"), "broken"},
		{"no end of fill.jpg", append([]byte("\xff\xd8"), bytes.Repeat([]byte{0xff}, 1<<20)...), "broken"},
		{"notes in a circle.jpg", noted(small, loop), "found"},
		{"notes that lead away.jpg", noted(small, strings.ReplaceAll(loop, "\x08\x00\x00\x00", "\xff\xff\xff\xff")), "found"},
		{"notes without end.jpg", noted(small, "MM\x00*\x00\x00\x00\x08\xff\xff"), "found"},
		{"also a page.jpg", append(bytes.Clone(small), "<script>alert(1)</script>%PDF-1.7"...), "found"},
		{"moving.gif", []byte("GIF89a\xff\xff\xff\xff"), "format"},
		{"web.webp", []byte("RIFF\xff\xff\xff\xffWEBPVP8 "), "format"},
		{"drawing.svg", []byte(`<svg xmlns="http://www.w3.org/2000/svg"><image href="file:///etc/passwd"/></svg>`), "format"},
		{"phone.heic", []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00"), "format"},
		{"nothing.jpg", nil, "format"},
	}
	dir := t.TempDir()
	var names, want []string
	for _, p := range pictures {
		put(t, filepath.Join(dir, p.name), p.data)
		names = append(names, p.name)
		want = append(want, p.want+" "+p.name)
	}
	put(t, filepath.Join(dir, "readings.csv"), []byte(naming(names...)))
	if got := runs(t, dir, "report", ".", "-o", "out", "--quiet"); got.status != 0 {
		t.Errorf("status %d", got.status)
	}
	signed := "document,revision,role,name,statement,signed at,method,image file\n"
	for _, p := range pictures {
		signed += fmt.Sprintf("daily report 2026-03-03,0,inspector,A. Person,made,2026-03-03 17:00,by hand,%s\n", p.name)
	}
	put(t, filepath.Join(dir, "signatures.csv"), []byte(signed))
	runs(t, dir, "report", ".", "-o", "signed", "--quiet")
	if got := found(t, dir); !slices.Equal(got, want) {
		for i := range want {
			if i >= len(got) || got[i] != want[i] {
				t.Errorf("%s: got %q", want[i], got[min(i, len(got)-1)])
			}
		}
	}
}

// Names that lead out of the folder of a record, and what lies outside it.
func TestNamesThatLeadAway(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no links")
	}
	outside := t.TempDir()
	secret := filepath.Join(outside, "secret.jpg")
	put(t, secret, photoBytes(t, 7))
	put(t, filepath.Join(outside, "site", "near.jpg"), photoBytes(t, 8))
	dir := filepath.Join(outside, "site")
	for _, err := range []error{
		os.Symlink(outside, filepath.Join(dir, "photos")),
		os.Symlink("circle.jpg", filepath.Join(dir, "circle.jpg")),
		os.Symlink("/dev/zero", filepath.Join(dir, "zero.jpg")),
		os.Symlink(secret, filepath.Join(dir, "away.jpg")),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	names := []string{"../secret.jpg", secret, `..\secret.jpg`, `C:\secret.jpg`, "file://" + secret, "http://127.0.0.1:1/secret.jpg",
		"photos/secret.jpg", "a/../../secret.jpg", "secret.jpg\x00.jpg", strings.Repeat("x", 5_000) + ".jpg", "//host/secret.jpg",
		"circle.jpg", "zero.jpg", "away.jpg", "\x1b]0;x\x07.jpg", "near.jpg"}
	put(t, filepath.Join(dir, "readings.csv"), []byte(naming(names...)))
	put(t, filepath.Join(dir, "signatures.csv"), []byte("document,revision,role,name,statement,signed at,method,image file\n"+
		"daily report 2026-03-03,0,inspector,A. Person,made,2026-03-03 17:00,by hand,../secret.jpg\n"+
		"daily report 2026-03-03,0,qc,B. Person,seen,2026-03-03 17:00,by hand,zero.jpg\n"+
		"daily report 2026-03-03,0,owner,C. Person,seen,2026-03-03 17:00,by hand,away.jpg\n"))
	for _, state := range found(t, dir) {
		if strings.HasPrefix(state, "found") && state != "found near.jpg" {
			t.Errorf("%s", state)
		}
	}
	for _, command := range []string{"report", "handover"} {
		out := map[string]string{"report": "out", "handover": "all.pdf"}[command]
		got := runs(t, dir, command, ".", "-o", out, "--quiet")
		if got.status != 0 && got.status != 3 {
			t.Errorf("%s: status %d", command, got.status)
		}
	}
}

// Records that are no files, or lead out of their folder.
func TestPlacesOfStrangers(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no pipes")
	}
	dir := t.TempDir()
	put(t, filepath.Join(dir, "honest.csv"), []byte(logHead+logRows))
	put(t, filepath.Join(dir, "linked", "job.csv"), []byte("limit,50 mg/m2\n"))
	put(t, filepath.Join(dir, "piped", "readings.csv"), []byte(logHead+logRows))
	put(t, filepath.Join(dir, "inside", "kept", "log.txt"), []byte(logHead+logRows))
	put(t, filepath.Join(dir, "nothing", "notes.txt"), nil)
	put(t, filepath.Join(dir, "full", "readings.csv"), []byte(logHead+logRows))
	for i := range 20_000 {
		if err := os.WriteFile(filepath.Join(dir, "full", fmt.Sprintf("IMG_%05d.jpg", i)), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	put(t, filepath.Join(dir, "parted", "0.csv"), []byte(logHead+logRows))
	for i := range 1_001 {
		put(t, filepath.Join(dir, "parted", fmt.Sprintf("%d.csv", i)), []byte(logHead))
	}
	socket, err := syscall.Socket(syscall.AF_UNIX, syscall.SOCK_STREAM, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer syscall.Close(socket)
	for _, err := range []error{
		syscall.Mkfifo(filepath.Join(dir, "pipe.csv"), 0o600),
		syscall.Mkfifo(filepath.Join(dir, "piped", "job.csv"), 0o600),
		syscall.Bind(socket, &syscall.SockaddrUnix{Name: filepath.Join(dir, "socket.csv")}),
		os.Symlink("circle.csv", filepath.Join(dir, "circle.csv")),
		os.Symlink("honest.csv", filepath.Join(dir, "link.csv")),
		os.Symlink("../honest.csv", filepath.Join(dir, "linked", "readings.csv")),
		os.Symlink("kept/log.txt", filepath.Join(dir, "inside", "readings.csv")),
		os.WriteFile(filepath.Join(dir, "large.csv"), nil, 0o644),
		os.Truncate(filepath.Join(dir, "large.csv"), 1<<40),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	const aFile = "write the record to a file"
	for _, s := range []stranger{
		{"/dev/zero", nil, 1, "a pipe, a device or a socket, but wanted a file", aFile},
		{"/dev/null", nil, 1, "a pipe, a device or a socket, but wanted a file", aFile},
		{"pipe.csv", nil, 1, "a pipe, a device or a socket, but wanted a file", aFile},
		{"socket.csv", nil, 1, "a pipe, a device or a socket, but wanted a file", aFile},
		{"circle.csv", nil, 1, "circle.csv: too many levels", "give a workbook"},
		{"missing.csv", nil, 1, "no such file or folder", "give a workbook"},
		{"nothing", nil, 1, "no CSV file in this folder", "a job folder holds"},
		{"piped", nil, 1, "job.csv: a pipe, a device or a socket", aFile},
		{"linked", nil, 1, "readings.csv: it leads out of the folder", "put a copy of it into the folder"},
		{"inside", nil, 0, "", ""},
		{"link.csv", nil, 0, "", ""},
		{"large.csv", nil, 1, "larger than 128 MiB", "split the record"},
		{"full", nil, 0, "", ""},
		{"parted", nil, 1, "more than 1000 CSV files", "give a folder that holds one record"},
	} {
		t.Run(filepath.Base(s.name), func(t *testing.T) {
			s.wants(t, runs(t, dir, "report", s.name, "-o", filepath.Join("out", strings.ReplaceAll(s.name, ".", " ")), "--quiet"))
		})
	}
	if os.Getuid() != 0 { // who may read everything
		if err := os.Chmod(filepath.Join(dir, "honest.csv"), 0); err != nil {
			t.Fatal(err)
		}
		stranger{"honest.csv", nil, 1, "it may not be read", "ask whoever"}.wants(t, runs(t, dir, "report", "honest.csv", "-o", "unread", "--quiet"))
	}
}
