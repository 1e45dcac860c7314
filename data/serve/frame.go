package serve

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

const (
	// mostHeader bounds a header line, and the header as a whole.
	mostHeader = 4 << 10
	// mostContent bounds the content of a message. It leaves room for a document
	// far beyond what the format allows, so that the answer can say so in place.
	mostContent = 64 << 20
)

// A badHeader says why the input cannot be split into messages any more.
type badHeader string

func (e badHeader) Error() string { return string(e) }

// A tooLong message was skipped; the one after it can be read.
type tooLong uint64

func (e tooLong) Error() string {
	return fmt.Sprintf("a message of %d bytes is longer than the %d that are read", uint64(e), mostContent)
}

// readFrame returns the content of the next message. The error is io.EOF where
// the input ends between messages, and io.ErrUnexpectedEOF within one.
func readFrame(r *bufio.Reader) ([]byte, error) {
	length, err := readHeader(r)
	if err != nil {
		return nil, err
	}
	if length > mostContent {
		return nil, errors.Join(skip(r, length), tooLong(length))
	}
	var content bytes.Buffer // grows with what arrives: the header may claim anything
	n, err := io.CopyN(&content, r, int64(length))
	if n < int64(length) {
		return nil, within(err)
	}
	return content.Bytes(), nil
}

// skip reads past the content of a message; nil when all of it was there.
func skip(r io.Reader, length uint64) error {
	for length > 0 {
		part := min(length, 1<<30)
		if _, err := io.CopyN(io.Discard, r, int64(part)); err != nil {
			return within(err)
		}
		length -= part
	}
	return nil
}

func within(err error) error {
	if errors.Is(err, io.EOF) {
		return io.ErrUnexpectedEOF
	}
	return err
}

// readHeader reads the header of a message and returns the length it gives.
func readHeader(r *bufio.Reader) (length uint64, err error) {
	known := false
	for read := 0; ; {
		line, err := r.ReadSlice('\n')
		read += len(line)
		switch {
		case errors.Is(err, bufio.ErrBufferFull) || read > mostHeader:
			return 0, badHeader(fmt.Sprintf("the header of a message is longer than %d bytes", mostHeader))
		case errors.Is(err, io.EOF) && read > 0:
			return 0, io.ErrUnexpectedEOF
		case err != nil:
			return 0, err
		}
		field := strings.TrimRight(string(line), "\r\n")
		if field == "" {
			break
		}
		if length, known, err = readField(field, length, known); err != nil {
			return 0, err
		}
	}
	if !known {
		return 0, badHeader("the header of a message has no Content-Length")
	}
	return length, nil
}

// readField reads one line of a header; length and known are what the lines
// before it said.
func readField(field string, length uint64, known bool) (uint64, bool, error) {
	name, value, ok := strings.Cut(field, ":")
	value = strings.TrimSpace(value)
	switch {
	case !ok:
		return 0, false, badHeader(fmt.Sprintf("%q is no line of a header", cut(field)))
	case strings.EqualFold(name, "Content-Type") && !isUTF8(value):
		return 0, false, badHeader(fmt.Sprintf("the content is of type %q, and only UTF-8 is read", cut(value)))
	case !strings.EqualFold(name, "Content-Length"):
		return length, known, nil
	case known:
		return 0, false, badHeader("the header of a message gives two Content-Lengths")
	}
	length, err := strconv.ParseUint(value, 10, 63)
	if err != nil {
		return 0, false, badHeader(fmt.Sprintf("%q is no Content-Length", cut(value)))
	}
	return length, true, nil
}

// isUTF8 reports whether a content type names no other encoding. Older clients
// write utf8.
func isUTF8(contentType string) bool {
	_, charset, named := strings.Cut(strings.ToLower(contentType), "charset=")
	return !named || strings.Trim(charset, `"; `) == "utf-8" || strings.Trim(charset, `"; `) == "utf8"
}

// cut shortens what is quoted in an error.
func cut(s string) string {
	const most = 60
	if len(s) > most {
		return s[:most] + "…"
	}
	return s
}

// writeFrame writes a message in one piece.
func writeFrame(w io.Writer, content []byte) error {
	_, err := w.Write(append(fmt.Appendf(nil, "Content-Length: %d\r\n\r\n", len(content)), content...))
	return err
}
