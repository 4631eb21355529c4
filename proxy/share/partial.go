package share

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path"

	"swellbox/profiles/pack"
)

// partialDir is the folder in home of packages that have not wholly come yet.
// They are named by their hash, so that any server can send the rest.
const partialDir = "partial"

// partial is a package that is coming.
type partial struct {
	root *os.Root
	name string
	file *os.File
	have int64 // bytes from its beginning
}

func openPartial(home string, o pack.Offer) (*partial, error) {
	root, err := os.OpenRoot(home)
	if err != nil {
		return nil, fmt.Errorf("cannot open the folder: %w", err)
	}
	p := &partial{root: root, name: path.Join(partialDir, o.SHA256)}
	if err := root.Mkdir(partialDir, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return nil, errors.Join(cannotKeep(err), root.Close())
	}
	if p.file, err = root.OpenFile(p.name, os.O_RDWR|os.O_CREATE, 0o600); err != nil {
		return nil, errors.Join(cannotKeep(err), root.Close())
	}
	info, err := p.file.Stat()
	if err != nil {
		p.close()
		return nil, cannotKeep(err)
	}
	if p.have = info.Size(); p.have > o.Size {
		if err := p.discard(); err != nil {
			p.close()
			return nil, err
		}
	}
	return p, nil
}

func cannotKeep(err error) error {
	return fmt.Errorf("cannot keep the package while it comes: %w", err)
}

// close keeps what has come for the next time, if there is anything.
func (p *partial) close() {
	p.file.Close()
	if p.have == 0 {
		p.root.Remove(p.name)
	}
	p.root.Close()
}

// write adds to it. The place is said each time, so that two pulls of the same
// bytes at once do not harm each other.
func (p *partial) write(b []byte) error {
	if _, err := p.file.WriteAt(b, p.have); err != nil {
		return cannotKeep(err)
	}
	p.have += int64(len(b))
	return nil
}

// download brings the package, all or the rest of it, and returns its bytes and
// how many of them came this time.
func (c *client) download(ctx context.Context, p *partial, o pack.Offer, progress func(done, total int64)) (pkg []byte, transferred int64, err error) {
	if progress == nil {
		progress = func(int64, int64) {}
	}
	if p.have < o.Size {
		before := p.have
		header := http.Header{}
		if p.have > 0 {
			header.Set("Range", fmt.Sprintf("bytes=%d-", p.have))
			header.Set("If-Range", etag(o.SHA256))
		}
		err := c.ask(ctx, packagesPath+o.File(), header, func(res *http.Response) error {
			if err := p.from(res, o); err != nil {
				return err
			}
			before = p.have
			return p.fill(res.Body, o.Size, progress)
		})
		transferred = p.have - before
		if err != nil {
			return nil, transferred, p.broken(err, o)
		}
	}
	pkg, err = io.ReadAll(io.NewSectionReader(p.file, 0, o.Size))
	if err != nil {
		return nil, transferred, cannotKeep(err)
	}
	if hash(pkg) != o.SHA256 {
		return nil, transferred, errors.Join(fmt.Errorf("what came for %s is not what was announced, nothing was installed; try again, or ask somebody else for it", o.File()), p.discard())
	}
	return pkg, transferred, nil
}

// from finds where in the package an answer begins.
func (p *partial) from(res *http.Response, o pack.Offer) error {
	switch res.StatusCode {
	case http.StatusOK:
		return p.discard()
	case http.StatusPartialContent:
		want := fmt.Sprintf("bytes %d-%d/%d", p.have, o.Size-1, o.Size)
		if got := res.Header.Get("Content-Range"); got != want {
			return fmt.Errorf("it sends another piece than was asked for, %q in place of %q", got, want)
		}
		return nil
	case http.StatusRequestedRangeNotSatisfiable:
		return errors.Join(errors.New("it has less of the package than it announced; try again"), p.discard())
	}
	return unexpected(res)
}

// fill reads the answer to its end, which must be the package's.
func (p *partial) fill(body io.Reader, size int64, progress func(done, total int64)) error {
	buf := make([]byte, 32<<10)
	for {
		n, err := body.Read(buf)
		if int64(n) > size-p.have {
			return errors.Join(fmt.Errorf("it sends more than the %d bytes it announced; do not use it", size), p.discard())
		}
		if err := p.write(buf[:n]); err != nil {
			return err
		}
		progress(p.have, size)
		switch {
		case errors.Is(err, io.EOF) && p.have == size:
			return nil
		case errors.Is(err, io.EOF):
			return io.ErrUnexpectedEOF
		case err != nil:
			return err
		}
	}
}

// discard forgets what came: it is of no use.
func (p *partial) discard() error {
	p.have = 0
	if err := p.file.Truncate(0); err != nil {
		return cannotKeep(err)
	}
	return nil
}

// broken is an error with what is left of the transfer.
func (p *partial) broken(err error, o pack.Offer) error {
	if p.have == 0 {
		return err
	}
	return fmt.Errorf("the transfer broke off after %d of %d bytes, which are kept: %w; the same command goes on from there", p.have, o.Size, err)
}
