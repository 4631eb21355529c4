package profile

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/usage"
	"swellbox/profiles/pack"
	"swellbox/proxy/layout"
)

// passwordLimit is the longest password, in bytes.
const passwordLimit = 1 << 10

func trustCommand(p *program.Program) *cobra.Command {
	c := &cobra.Command{
		Use:   "trust",
		Short: "list, pin and remove the keys of those whose profiles you take, make your own",
		Long: `trust lists the keys that you trust. An author has one key, and a package keeps
the key that it was first installed with: another one is refused until you have
removed the old. Keys and signatures are of minisign's form.`,
		Args: usage.OnlyCommands,
		RunE: func(*cobra.Command, []string) error { return listTrust(p) },
	}
	c.AddCommand(
		&cobra.Command{
			Use: "list", Short: "list the keys that you trust", Args: usage.Exactly(0, "no argument"),
			RunE: func(*cobra.Command, []string) error { return listTrust(p) },
		},
		newKeyCommand(p),
		pinCommand(p),
		&cobra.Command{
			Use: "remove KEYID|KEY|AUTHOR", Short: "end the trust in a key", Args: usage.Exactly(1, "one key or author"),
			RunE: func(_ *cobra.Command, args []string) error { return removeTrust(p, args[0]) },
		},
	)
	return c
}

func pinCommand(p *program.Program) *cobra.Command {
	var whose string
	c := &cobra.Command{
		Use: "pin KEY|FILE", Short: "trust a public key", Args: usage.Exactly(1, "one public key or its file"),
		RunE: func(_ *cobra.Command, args []string) error {
			k, err := keyOf(args[0])
			if err != nil {
				return err
			}
			if err := pack.AddPin(p.Settings.Home, k, whose); err != nil {
				return err
			}
			if p.Settings.JSON {
				return p.PrintJSON(pack.Pin{Key: k, Author: whose, Packages: []string{}})
			}
			p.Sayf("you trust the key %s from now on", k.ID())
			return nil
		},
	}
	c.Flags().StringVar(&whose, "of", "", "`author` whose key it is (default: whoever the first package with it is from)")
	return c
}

func newKeyCommand(p *program.Program) *cobra.Command {
	var password string
	c := &cobra.Command{
		Use:   "new-key",
		Short: "make a key to sign your profiles with",
		Long: `new-key makes a secret key, kept under a password, and a public key to hand out.
Opening it takes a few seconds and 1 GiB of memory each time, so that a thief
cannot try many passwords.`,
		Args: usage.Exactly(0, "no argument"),
		RunE: func(c *cobra.Command, _ []string) error { return newKey(p, c, password) },
	}
	c.Flags().StringVar(&password, "password-file", "", "`file` with the password, - for standard input (default: you are asked)")
	return c
}

func secretKeyFile(p *program.Program) string { return filepath.Join(p.Settings.Home, "swellbox.key") }

func publicKeyFile(p *program.Program) string { return filepath.Join(p.Settings.Home, "swellbox.pub") }

func newKey(p *program.Program, c *cobra.Command, passwordFile string) error {
	if p.Settings.Home == "" {
		return errors.New("you have no configuration folder; name one with --home")
	}
	for _, file := range []string{secretKeyFile(p), publicKeyFile(p)} {
		if _, err := os.Lstat(file); !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("%s is there already; move it away first, and keep it: others trust it", file)
		}
	}
	word, err := password(p, c, passwordFile, "password for the new key: ")
	if err != nil {
		return err
	}
	if passwordFile == "" {
		again, err := password(p, c, "", "once more: ")
		if err != nil {
			return err
		}
		if again != word {
			return errors.New("the passwords differ; no key was made")
		}
	}
	secret, err := pack.NewSecretKey()
	if err != nil {
		return err
	}
	sayKeyTakesLong(p)
	sealed, err := secret.Seal(word)
	if err != nil {
		return err
	}
	return keepKey(p, secret.Public(), sealed)
}

// sayKeyTakesLong comes before the work with a password, which has no steps to tell
// how far it is.
func sayKeyTakesLong(p *program.Program) {
	fmt.Fprintln(p.Err, "working the password into the key, which takes a few seconds")
}

// keepKey writes a new key and trusts it.
func keepKey(p *program.Program, k pack.Key, sealed []byte) error {
	if err := os.MkdirAll(p.Settings.Home, 0o700); err != nil {
		return fmt.Errorf("cannot make the folder of the key: %w", err)
	}
	if err := writeNew(secretKeyFile(p), sealed, 0o600); err != nil {
		return err
	}
	if err := writeNew(publicKeyFile(p), k.Text(), 0o644); err != nil {
		return err
	}
	if err := pack.AddPin(p.Settings.Home, k, p.Settings.Author); err != nil {
		return fmt.Errorf("the key was made, but you do not trust it yet: %w", err)
	}
	if p.Settings.JSON {
		return p.PrintJSON(map[string]string{"key": string(k), "key_id": k.ID(), "secret": secretKeyFile(p), "public": publicKeyFile(p)})
	}
	fmt.Fprintf(p.Out, "secret: %s, under your password; there is no other copy\npublic: %s, for those who take your profiles:\n%s\n", secretKeyFile(p), publicKeyFile(p), k)
	return nil
}

// writeNew writes a file that must not be there yet, with its bytes on the disk;
// if that fails, there is none.
func writeNew(file string, content []byte, mode fs.FileMode) error {
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return fmt.Errorf("cannot keep the key: %w", err)
	}
	_, err = f.Write(content)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return errors.Join(fmt.Errorf("cannot keep the key: %w", err), os.Remove(file))
	}
	return nil
}

func listTrust(p *program.Program) error {
	pins, err := pack.Pins(p.Settings.Home)
	if err != nil {
		return err
	}
	if p.Settings.JSON {
		return p.PrintJSON(append([]pack.Pin{}, pins...))
	}
	if len(pins) == 0 {
		p.Sayf("you trust no keys yet; installing a signed package asks about its own")
		return nil
	}
	t := layout.Table{Columns: []layout.Column{{Title: "id"}, {Title: "author", Words: true}, {Title: "packages", Words: true}, {Title: "key"}}}
	own, _ := keyOf(publicKeyFile(p)) // most have none
	for _, pin := range pins {
		author := pin.Author
		if pin.Key == own {
			author = strings.TrimSpace(author + " (you)")
		}
		t.Row(pin.Key.ID(), author, strings.Join(pin.Packages, ", "), string(pin.Key))
	}
	return t.Write(p.Out, p.Width())
}

func removeTrust(p *program.Program, which string) error {
	pin, err := pack.RemovePin(p.Settings.Home, which)
	if err != nil {
		return err
	}
	if p.Settings.JSON {
		return p.PrintJSON(pin)
	}
	p.Sayf("the key %s is not trusted any more; what was installed with it stays", pin.Key.ID())
	return nil
}

// keyOf is a public key, given by itself or by its file.
func keyOf(s string) (pack.Key, error) {
	if k, err := pack.ParseKey(s); err == nil {
		return k, nil
	}
	k, err := pack.ReadKeyFile(s)
	if errors.Is(err, fs.ErrNotExist) {
		return "", fmt.Errorf("%q is neither a public key nor the file of one", s)
	}
	return k, err
}

// asker is where a person can be asked.
type asker interface {
	io.Reader
	ReadPassword() (string, error)
}

// askerOf is the terminal behind the standard input, if there is one.
func askerOf(in io.Reader) (asker, bool) {
	if t, ok := in.(asker); ok {
		return t, true
	}
	f, ok := in.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return nil, false
	}
	return fileTerminal{f}, true
}

type fileTerminal struct{ *os.File }

func (t fileTerminal) ReadPassword() (string, error) {
	b, err := term.ReadPassword(int(t.Fd()))
	return string(b), err
}

// password reads a password from a file, the standard input, or asks.
func password(p *program.Program, c *cobra.Command, file, prompt string) (string, error) {
	if file != "" {
		return readPassword(c.InOrStdin(), file)
	}
	t, ok := askerOf(c.InOrStdin())
	if !ok {
		return "", errors.New("the key has a password, and there is no terminal to ask on; give --password-file FILE, or - for standard input")
	}
	fmt.Fprint(p.Err, prompt)
	word, err := t.ReadPassword()
	fmt.Fprintln(p.Err)
	if err != nil {
		return "", fmt.Errorf("cannot read the password: %w", err)
	}
	return word, nil
}

// readPassword is the first line of a file.
func readPassword(in io.Reader, file string) (string, error) {
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return "", fmt.Errorf("cannot read the password: %w", err)
		}
		defer f.Close()
		in = f
	}
	line, err := bufio.NewReader(io.LimitReader(in, passwordLimit+1)).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return "", fmt.Errorf("cannot read the password: %w", err)
	}
	if len(line) > passwordLimit {
		return "", fmt.Errorf("the password has over %d bytes", passwordLimit)
	}
	return strings.TrimRight(line, "\r\n"), nil
}

// askTrust asks whether a key is its author's. Anything but a plain yes is no.
func askTrust(p *program.Program, t asker, q pack.Question) (bool, error) {
	fmt.Fprintf(p.Err, `%s %s is signed with a key that you do not know yet:
  author  %s
  key     %s
  id      %s
Anyone can make a key in any name: compare it with one that the author gave you.
Trust it from now on? Type yes: `, q.Name, q.Version, q.Author, q.Key, q.Key.ID())
	line, err := bufio.NewReader(io.LimitReader(t, passwordLimit)).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return false, fmt.Errorf("cannot read the answer: %w", err)
	}
	return strings.EqualFold(strings.TrimSpace(line), "yes"), nil
}
