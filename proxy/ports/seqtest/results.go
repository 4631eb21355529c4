package seqtest

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"path"
)

// resultsLimit bounds all result files of a job together, unpacked, in bytes.
const resultsLimit = 16 << 20

var errTooMuch = fmt.Errorf("more than %d bytes of results: let the scripts leave less in $OUT", resultsLimit)

// unpack reads what init.sh sends: a line "seqtest LENGTH SHA256", then so many
// bytes of a gzipped tar file. A length or a sum that does not fit is an error, so
// that a damaged line never passes for a result. Files of more than limit bytes together are one too.
func unpack(sent []byte, limit int64) (map[string][]byte, error) {
	line, packed, ok := bytes.Cut(sent, []byte("\n"))
	var size int
	var sum string
	if _, err := fmt.Sscanf(string(line), "seqtest %d %s", &size, &sum); !ok || err != nil {
		return nil, fmt.Errorf("results begin with %.80q instead of their length and sum", line)
	}
	if len(packed) != size {
		return nil, fmt.Errorf("%d bytes of results arrived, %d were sent", len(packed), size)
	}
	if got := sha256.Sum256(packed); hex.EncodeToString(got[:]) != sum {
		return nil, errors.New("the results were damaged on their way: their sum is not the one sent")
	}
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, fmt.Errorf("results: %w", err)
	}
	files := map[string][]byte{}
	left := limit
	for archive := tar.NewReader(z); ; {
		head, err := archive.Next()
		if err == io.EOF {
			return files, nil
		}
		if err != nil {
			return nil, fmt.Errorf("results: %w", err)
		}
		if head.Typeflag != tar.TypeReg {
			continue
		}
		data, err := io.ReadAll(io.LimitReader(archive, left+1))
		if err != nil {
			return nil, fmt.Errorf("results: %s: %w", head.Name, err)
		}
		if left -= int64(len(data)); left < 0 {
			return nil, errTooMuch
		}
		files[path.Clean(head.Name)] = data
	}
}
