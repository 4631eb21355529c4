package profile

import (
	"fmt"
	"io"
	"net"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/usage"
	"swellbox/profiles/pack"
	"swellbox/proxy/layout"
	"swellbox/proxy/share"
)

func serveCommand(p *program.Program) *cobra.Command {
	var listen string
	c := &cobra.Command{
		Use:   "serve --listen ADDRESS[:PORT]",
		Short: "let colleagues in your network take the packages that you have installed",
		Long: `serve gives away the installed packages that are signed with a key you trust,
your own among them, until it is ended by Ctrl-C. It only reads, and only listens
on the address that you name: one of this computer in your network, 127.0.0.1 to
try it out, or 0.0.0.0 for all. Whoever can reach it can take the packages.

Nobody has to trust the network or you: who takes a package checks its signature
against the author's key. So it is plain HTTP, without encryption.`,
		Args: usage.Exactly(0, "no argument"),
		RunE: func(c *cobra.Command, _ []string) error {
			if listen == "" {
				return fmt.Errorf("say where to listen with --listen ADDRESS, such as 127.0.0.1:%s to try it out: %w", share.DefaultPort, usage.ErrUsage)
			}
			offers, err := pack.Offers(p.Settings.Home)
			if err != nil {
				return err
			}
			p.Endless.Store(true)
			return share.Serve(c.Context(), p.Settings.Home, listen, func(a net.Addr) { printServing(p, a, offers) })
		},
	}
	c.Flags().StringVar(&listen, "listen", "", "`address` of this computer to listen on, and perhaps a port")
	return c
}

func printServing(p *program.Program, a net.Addr, offers []pack.Offer) {
	if p.Settings.JSON {
		p.PrintJSON(map[string]any{"address": a.String(), "packages": append([]pack.Offer{}, offers...)})
		return
	}
	if len(offers) == 0 {
		p.Warn([]string{"no package is installed that is signed with a key you trust; swellbox profile pack and install make one"})
	}
	printOffers(p, offers)
	fmt.Fprintf(p.Out, "take them with: swellbox profile pull %s NAME; Ctrl-C ends\n", a)
}

func printOffers(p *program.Program, offers []pack.Offer) {
	t := layout.Table{Columns: []layout.Column{{Words: true}, {}, {Words: true}, {Words: true}, {}}}
	for _, o := range offers {
		t.Row(o.Name, string(o.Version), o.Author, o.Licence, "key "+o.KeyID)
	}
	t.Write(p.Out, p.Width())
}

func pullCommand(p *program.Program) *cobra.Command {
	var a admission
	c := &cobra.Command{
		Use:   "pull HOST[:PORT] [NAME[@VERSION]]",
		Short: "take a package from a colleague in your network, or list what there is",
		Long: `pull takes a package from a colleague's swellbox profile serve and installs it as
swellbox profile install does, the newest version unless one is named. A transfer
that breaks off is taken up again by the same command. Without NAME it lists what
the colleague gives away.`,
		Args: usage.Between(1, 2, "a host, and perhaps a package"),
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) == 1 {
				return listRemote(p, c, args[0])
			}
			return pull(p, c, args[0], args[1], a)
		},
	}
	a.flags(c)
	return c
}

func listRemote(p *program.Program, c *cobra.Command, host string) error {
	offers, err := share.List(c.Context(), host)
	if err != nil {
		return err
	}
	if p.Settings.JSON {
		return p.PrintJSON(append([]pack.Offer{}, offers...))
	}
	if len(offers) == 0 {
		fmt.Fprintf(p.Out, "%s has no packages to give away\n", host)
	}
	printOffers(p, offers)
	return nil
}

func pull(p *program.Program, c *cobra.Command, host, what string, a admission) error {
	name, version, versioned := strings.Cut(what, "@")
	if err := pack.CheckName(name); err != nil {
		return err
	}
	r := share.Request{Home: p.Settings.Home, Host: host, Name: name, Progress: Transfer(p.Err, time.Now)}
	var err error
	if versioned {
		if r.Version, err = pack.ParseVersion(version); err != nil {
			return err
		}
	}
	if r.Options, err = optionsOf(p, c, a); err != nil {
		return err
	}
	res, err := share.Pull(c.Context(), r)
	if err != nil {
		return err
	}
	if p.Settings.JSON {
		return p.PrintJSON(res)
	}
	printInstalled(p, res.Result)
	return nil
}

// Transfer tells how far a transfer is, every second once it has taken one.
func Transfer(w io.Writer, now func() time.Time) func(done, total int64) {
	next := now().Add(time.Second)
	return func(done, total int64) {
		if t := now(); t.After(next) {
			next = t.Add(time.Second)
			fmt.Fprintf(w, "%d of %d KiB, %d %%\n", done>>10, total>>10, done*100/total)
		}
	}
}
