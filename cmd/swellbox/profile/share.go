package profile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/usage"
	"swellbox/profiles"
	"swellbox/profiles/atomicfile"
	"swellbox/profiles/pack"
	"swellbox/proxy/layout"
)

func shareCommands(p *program.Program) []*cobra.Command {
	return []*cobra.Command{packCommand(p), installCommand(p), trustCommand(p), serveCommand(p), pullCommand(p)}
}

// packing is what the flags of pack say.
type packing struct {
	name, version, licence, notes, out, sign string
	password                                 string // file of the key's password
	unsigned                                 bool
}

func packCommand(p *program.Program) *cobra.Command {
	var k packing
	c := &cobra.Command{
		Use:   "pack FOLDER|FILE|PROFILE… --version VERSION --licence LICENCE --author NAME",
		Short: "put profiles into one signed file to hand on",
		Long: `pack writes NAME-VERSION` + pack.Ext + `, an ordinary tar file whose bytes depend on
its content alone, and its signature beside it. What is packed is all documents of
a folder, single files, or profiles of your own by their name.

It is signed with your key if you have one (swellbox profile trust new-key).
A package that is not signed can be installed only by those who add --unsigned.

  swellbox profile pack violins --version 1.0.0 --licence CC-BY-4.0 --author "Our studio"

The author can also stand in the configuration, once for all.`,
		Args: usage.Between(1, 500, "a folder, a file or the name of a profile"),
		RunE: func(c *cobra.Command, args []string) error { return packUp(p, c, args, k) },
	}
	f := c.Flags()
	f.StringVar(&k.name, "name", "", "`name` of the package (default: that of the one folder or profile)")
	f.StringVar(&k.version, "version", "", "its `version`, such as 1.0.0")
	f.StringVar(&k.licence, "licence", "", "`licence`: what others may do with it, such as CC-BY-4.0")
	f.StringVar(&k.notes, "notes", "", "`text` on what there is to know about it")
	f.StringVarP(&k.out, "out", "o", "", "`file` to write (default: NAME-VERSION"+pack.Ext+")")
	f.StringVar(&k.sign, "sign", "", "`file` of the secret key to sign with (default: your own, if you have one)")
	f.StringVar(&k.password, "password-file", "", "`file` with the password of the key, - for standard input (default: you are asked)")
	f.BoolVar(&k.unsigned, "unsigned", false, "do not sign")
	return c
}

// Packed is what pack has to say for scripts.
type Packed struct {
	File      string       `json:"file"`
	Signature string       `json:"signature"` // file, "" if it is not signed
	Name      string       `json:"name"`
	Version   pack.Version `json:"version"`
	Documents int          `json:"documents"`
	SHA256    string       `json:"sha256"`
	KeyID     string       `json:"key_id"`
}

func packUp(p *program.Program, c *cobra.Command, args []string, k packing) error {
	if k.name == "" && len(args) == 1 {
		k.name = strings.TrimSuffix(filepath.Base(args[0]), filepath.Ext(args[0]))
	}
	var missing []string
	for _, m := range []struct{ given, say string }{
		{k.version, "which version it is with --version, such as 1.0.0"},
		{k.licence, "what others may do with it with --licence, such as CC-BY-4.0"},
		{p.Settings.Author, "who made it with --author, or with author in the configuration"},
		{k.name, "how the package is named with --name"},
	} {
		if m.given == "" {
			missing = append(missing, m.say)
		}
	}
	if len(missing) > 0 {
		return fmt.Errorf("say %s: %w", strings.Join(missing, "; "), usage.ErrUsage)
	}
	var documents []pack.Source
	for _, arg := range args {
		found, err := sourcesOf(p, arg)
		if err != nil {
			return err
		}
		documents = append(documents, found...)
	}
	pkg, err := pack.New(pack.Manifest{
		Name: k.name, Version: pack.Version(k.version), Author: p.Settings.Author, Licence: k.licence, Notes: k.notes,
	}, documents)
	if err != nil {
		return err
	}
	done := Packed{File: k.out, Name: pkg.Name, Version: pkg.Version, Documents: len(pkg.Documents), SHA256: pkg.SHA256()}
	if done.File == "" {
		done.File = pkg.File()
	}
	sig, key, err := signature(p, c, pkg, k)
	if err != nil {
		return err
	}
	if err := writeOnce(done.File, pkg.Bytes()); err != nil {
		return err
	}
	if sig != nil {
		done.Signature, done.KeyID = done.File+pack.SignatureExt, key.ID()
		if err := writeOnce(done.Signature, sig); err != nil {
			return err
		}
	}
	if p.Settings.JSON {
		return p.PrintJSON(done)
	}
	p.Sayf("%s: %s %s, documents: %d", done.File, done.Name, done.Version, done.Documents)
	if sig == nil {
		p.Sayf("NOT SIGNED: nobody can tell who made it; swellbox profile trust new-key makes a key")
	} else {
		p.Sayf("%s: signed with the key %s", done.Signature, done.KeyID)
	}
	return nil
}

// signature signs a package with the key that is named, or the user's own; nil if
// there is none or none is wanted.
func signature(p *program.Program, c *cobra.Command, pkg *pack.Package, k packing) ([]byte, pack.Key, error) {
	if k.unsigned {
		if k.sign != "" {
			return nil, "", fmt.Errorf("--sign and --unsigned exclude each other: %w", usage.ErrUsage)
		}
		return nil, "", nil
	}
	file := k.sign
	if file == "" {
		file = secretKeyFile(p)
		if _, err := os.Stat(file); errors.Is(err, fs.ErrNotExist) {
			return nil, "", nil
		}
	}
	secret, err := pack.ReadSecretKey(file, func() (string, error) {
		word, err := password(p, c, k.password, "password of "+file+": ")
		if err == nil {
			sayKeyTakesLong(p)
		}
		return word, err
	})
	if err != nil {
		return nil, "", err
	}
	sig, err := pack.Sign(pkg, secret)
	return sig, secret.Public(), err
}

// sourcesOf reads what an argument of pack stands for: a folder, a file, or a
// profile or controller map of the user's own or the studio's, by its name.
func sourcesOf(p *program.Program, arg string) ([]pack.Source, error) {
	info, err := os.Stat(arg)
	switch {
	case err == nil && info.IsDir():
		return readFolder(arg)
	case err == nil:
		s, err := readSource(arg)
		return []pack.Source{s}, err
	}
	lib, err := p.Settings.Library()
	if lib == nil {
		return nil, err
	}
	if d, ok := lib.Lookup(arg); ok && (d.Origin.Kind == profiles.Own || d.Origin.Kind == profiles.Studio) {
		return []pack.Source{{File: d.File, Content: d.Bytes()}}, nil
	}
	if m, ok := lib.LookupControllerMap(arg); ok && (m.Origin.Kind == profiles.Own || m.Origin.Kind == profiles.Studio) {
		return []pack.Source{{File: m.File, Content: m.Bytes()}}, nil
	}
	return nil, fmt.Errorf("%s is neither a folder nor a file nor a profile or controller map of your own", arg)
}

// readFolder reads the documents of a folder but its seatings.
func readFolder(dir string) ([]pack.Source, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, fmt.Errorf("cannot read the folder of profiles: %w", err)
	}
	var all []pack.Source
	for _, e := range entries {
		ext := filepath.Ext(e.Name())
		if e.IsDir() || strings.HasPrefix(e.Name(), ".") || ext != ".yaml" && ext != ".yml" {
			continue
		}
		s, err := readSource(filepath.Join(dir, e.Name()))
		if err != nil {
			return nil, err
		}
		if f, err := profiles.ParseAny(s.File, s.Content); err == nil && f.Seating != nil {
			continue // it belongs to a piece
		}
		all = append(all, s)
	}
	return all, nil
}

func readSource(file string) (pack.Source, error) {
	b, err := pack.ReadFile(file)
	return pack.Source{File: file, Content: b}, err
}

// writeOnce writes a file, and never over another.
func writeOnce(file string, content []byte) error {
	there, err := pack.ReadFile(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return atomicfile.WriteBytes(file, content)
	case err == nil && string(there) == string(content):
		return nil
	}
	return fmt.Errorf("%s is there already, with another content; raise the version, or give -o another name", file)
}

// admission is what the flags of install and pull say of trust.
type admission struct {
	trust             string
	older, unsignedOK bool
}

func (a *admission) flags(c *cobra.Command) {
	c.Flags().StringVar(&a.trust, "trust", "", "public `key`, or its file, to trust from now on without being asked")
	c.Flags().BoolVar(&a.older, "allow-older", false, "even if a newer version is installed")
}

func optionsOf(p *program.Program, c *cobra.Command, a admission) (pack.Options, error) {
	o := pack.Options{AllowOlder: a.older, Unsigned: a.unsignedOK}
	if t, ok := askerOf(c.InOrStdin()); ok && !p.Settings.JSON {
		o.Ask = func(q pack.Question) (bool, error) { return askTrust(p, t, q) }
	}
	if a.trust == "" {
		return o, nil
	}
	var err error
	o.Trust, err = keyOf(a.trust)
	return o, err
}

func installCommand(p *program.Program) *cobra.Command {
	var a admission
	c := &cobra.Command{
		Use:   "install FILE | NAME@VERSION | NAME@newest",
		Short: "install a package of profiles, choose its version, or list what is installed",
		Long: `install checks a package, its signature (FILE` + pack.SignatureExt + `) and each document, and
installs all of it or nothing. The first time that an author's key is met you are
asked whether it is theirs; if a known author or package comes with another key,
it is refused.

Versions stand side by side and the newest plays. NAME@VERSION makes another one
play, NAME@newest ends that. Without an argument it lists what is installed.`,
		Args: usage.Between(0, 1, "one package, or nothing"),
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return listInstalled(p)
			}
			name, version, chosen := strings.Cut(args[0], "@")
			if _, err := os.Stat(args[0]); err != nil && chosen {
				return chooseVersion(p, name, version)
			}
			return install(p, c, args[0], a)
		},
	}
	a.flags(c)
	c.Flags().BoolVar(&a.unsignedOK, "unsigned", false, "even if nobody signed it")
	return c
}

func install(p *program.Program, c *cobra.Command, file string, a admission) error {
	pkg, err := pack.ReadFile(file)
	if err != nil {
		return err
	}
	sig, err := pack.ReadFile(file + pack.SignatureExt)
	if errors.Is(err, fs.ErrNotExist) {
		sig, err = nil, nil
	}
	if err != nil {
		return err
	}
	o, err := optionsOf(p, c, a)
	if err != nil {
		return err
	}
	res, err := pack.Install(p.Settings.Home, pkg, sig, o)
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	if p.Settings.JSON {
		return p.PrintJSON(res)
	}
	printInstalled(p, res)
	return nil
}

func printInstalled(p *program.Program, r *pack.Result) {
	verb := "installed"
	if r.Already {
		verb = "installed already"
	}
	p.Sayf("%s: %s %s by %s (%s): %s", verb, r.Name, r.Version, r.Author, r.Licence, strings.Join(r.Profiles, ", "))
	switch {
	case r.KeyID == "":
		p.Sayf("NOT SIGNED: nobody can tell who made it")
	case r.Pinned:
		p.Sayf("signed with the key %s, which you trust from now on", r.KeyID)
	default:
		p.Sayf("signed with the key %s, which you trust", r.KeyID)
	}
	if r.Notes != "" {
		fmt.Fprintln(p.Out, r.Notes)
	}
}

func chooseVersion(p *program.Program, name, version string) error {
	v := pack.Version("")
	if version != "newest" {
		var err error
		if v, err = pack.ParseVersion(version); err != nil {
			return err
		}
	}
	if err := pack.Choose(p.Settings.Home, name, v); err != nil {
		return err
	}
	if p.Settings.JSON {
		return p.PrintJSON(map[string]string{"name": name, "version": version})
	}
	p.Sayf("%s: %s plays", name, version)
	return nil
}

func listInstalled(p *program.Program) error {
	all, err := pack.List(p.Settings.Home)
	if err != nil {
		return err
	}
	if p.Settings.JSON {
		return p.PrintJSON(append([]pack.Installed{}, all...))
	}
	if len(all) == 0 {
		p.Sayf("nothing is installed; swellbox profile install FILE or swellbox profile pull HOST does")
		return nil
	}
	t := layout.Table{Columns: []layout.Column{
		{Title: "package", Words: true}, {Title: "version"}, {Title: "plays"}, {Title: "author", Words: true}, {Title: "key", Words: true}, {Words: true},
	}}
	for _, i := range all {
		t.Row(i.Name, string(i.Version), plays(i), i.Author, signer(i.KeyID), remark(i))
	}
	return t.Write(p.Out, p.Width())
}

func plays(i pack.Installed) string {
	switch {
	case i.Chosen:
		return "chosen"
	case i.Current:
		return "newest"
	}
	return "-"
}

func signer(keyID string) string {
	if keyID == "" {
		return "NOT SIGNED by anyone you trust"
	}
	return keyID
}

func remark(i pack.Installed) string {
	switch {
	case i.Problem != "":
		return "DAMAGED: " + i.Problem
	case len(i.Changed) > 0:
		return "changed since: " + strings.Join(i.Changed, ", ")
	}
	return ""
}
