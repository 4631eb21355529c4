package profile

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/usage"
	"swellbox/profiles"
	"swellbox/proxy/layout"
)

func readCommands(p *program.Program) []*cobra.Command {
	return []*cobra.Command{listCommand(p), showCommand(p), checkCommand(p), schemaCommand(p)}
}

// browse is the library for looking around in it: what is broken is a warning.
func browse(p *program.Program) (*profiles.Library, []string, error) {
	lib, err := p.Settings.Library()
	if lib == nil {
		return nil, nil, err
	}
	var warnings []string
	for _, problem := range problemsOf(err) {
		warnings = append(warnings, problem.Error())
	}
	return lib, append(warnings, program.RenamedIn(lib)...), nil
}

// problemsOf are the single problems of an error. What has no place in a document
// becomes a problem without one.
func problemsOf(err error) []profiles.Problem {
	if err == nil {
		return nil
	}
	if ps := (profiles.Problems)(nil); errors.As(err, &ps) && err.Error() == ps.Error() {
		return ps
	}
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		var all []profiles.Problem
		for _, e := range joined.Unwrap() {
			all = append(all, problemsOf(e)...)
		}
		return all
	}
	return []profiles.Problem{{Text: err.Error()}}
}

// Listed is a document as profile list shows it.
type Listed struct {
	Name        string          `json:"name"`
	Family      string          `json:"family,omitempty"`
	Description string          `json:"description,omitempty"`
	Variants    []string        `json:"variants,omitempty"`
	Origin      profiles.Origin `json:"origin"`
	File        string          `json:"file"`
	Hash        string          `json:"hash"`
	Hides       []ListedSource  `json:"replaces"` // documents of its name under it, the strongest first
}

// ListedSource is a document of a listing, and where it lies.
type ListedSource struct {
	Origin profiles.Origin `json:"origin"`
	File   string          `json:"file"`
	Hash   string          `json:"hash"`
}

// Listing is what profile list prints as JSON.
type Listing struct {
	Profiles       []Listed `json:"profiles"`
	ControllerMaps []Listed `json:"controller_maps"`
	Warnings       []string `json:"warnings"`
}

func listCommand(p *program.Program) *cobra.Command {
	return &cobra.Command{
		Use:   "list",
		Short: "list the profiles: where they come from, and what each of them replaces",
		Args:  usage.Exactly(0, "no argument"),
		RunE: func(*cobra.Command, []string) error {
			lib, warnings, err := browse(p)
			if err != nil {
				return err
			}
			l := list(lib)
			l.Warnings = append(warnings, l.Warnings...)
			if p.Settings.JSON {
				return p.PrintJSON(l)
			}
			p.Warn(l.Warnings)
			t := layout.Table{Columns: []layout.Column{
				{Title: "profile"}, {Title: "family", Words: true}, {Title: "from", Words: true}, {Title: "replaces", Words: true}, {Title: "plays", Words: true},
			}}
			for _, d := range l.Profiles {
				plays := d.Description
				if len(d.Variants) > 0 {
					plays += "; also " + strings.Join(d.Variants, ", ")
				}
				t.Row(d.Name, d.Family, d.Origin.String(), replacing(d.Hides), plays)
			}
			for _, d := range l.ControllerMaps {
				t.Row(d.Name, "controller map", d.Origin.String(), replacing(d.Hides))
			}
			return t.Write(p.Out, p.Width())
		},
	}
}

func list(lib *profiles.Library) Listing {
	l := Listing{Profiles: []Listed{}, ControllerMaps: []Listed{}, Warnings: []string{}}
	for _, name := range lib.Names() {
		var sources []profiles.Source
		for _, d := range lib.Layers(name) {
			sources = append(sources, d.Source)
		}
		d := entry(name, sources)
		if profile, err := lib.Resolve(name); err != nil {
			d.Description = "cannot be used"
			l.Warnings = append(l.Warnings, fmt.Sprintf("the profile %s cannot be used: %v", name, err))
		} else {
			d.Family = profile.Family
			d.Description = strings.TrimPrefix(profiles.Describe(profile), profile.Family+", ")
			for _, v := range profile.Variants {
				if v.Profile != profile {
					d.Variants = append(d.Variants, v.Name)
				}
			}
			d.Variants = slices.Compact(d.Variants)
		}
		l.Profiles = append(l.Profiles, d)
	}
	for _, name := range lib.ControllerMaps() {
		var sources []profiles.Source
		for _, m := range lib.ControllerMapLayers(name) {
			sources = append(sources, m.Source)
		}
		l.ControllerMaps = append(l.ControllerMaps, entry(name, sources))
	}
	return l
}

// entry describes the first of the sources, which replaces the others.
func entry(name string, sources []profiles.Source) Listed {
	d := Listed{Name: name, Origin: sources[0].Origin, File: sources[0].File, Hash: sources[0].Hash(), Hides: []ListedSource{}}
	for _, s := range sources[1:] {
		d.Hides = append(d.Hides, ListedSource{s.Origin, s.File, s.Hash()})
	}
	return d
}

// replacing says where what is replaced comes from.
func replacing(sources []ListedSource) string {
	if len(sources) == 0 {
		return "-"
	}
	var from []string
	for _, s := range sources {
		from = append(from, s.Origin.String())
	}
	return strings.Join(from, "; ")
}

// view is what profile show is asked for.
type view struct {
	name, controllerMap, articulation string
	curves, sources                   bool
	svg                               string
}

func showCommand(p *program.Program) *cobra.Command {
	var v view
	c := &cobra.Command{
		Use:   "show NAME",
		Short: "write out a profile with all that it is based on, or draw its curves",
		Long:  `show writes a profile as one document with all that it is based on, and beside each value the document that gave it. With --curves or --svg it draws what the profile does instead: dynamics, swell, vibrato, and how the sampler answers.`,
		Args:  usage.Exactly(1, "the name of a profile"),
		RunE: func(_ *cobra.Command, args []string) error {
			v.name = args[0]
			return show(p, v)
		},
	}
	f := c.Flags()
	f.StringVar(&v.controllerMap, "controller-map", "", "`name` of the controller map to show it with")
	f.BoolVar(&v.sources, "sources", false, "also say where each number is from: a publication, common practice, or neither")
	f.BoolVar(&v.curves, "curves", false, "draw its curves as text")
	f.StringVar(&v.svg, "svg", "", "draw its curves into a picture, an SVG `file`")
	f.StringVar(&v.articulation, "articulation", "", "draw the curves of this `way` of playing, as pizzicato")
	return c
}

func show(p *program.Program, v view) error {
	lib, warnings, err := browse(p)
	if err != nil {
		return err
	}
	if v.curves || v.svg != "" {
		p.Warn(warnings)
		profile, err := lib.ResolveFor(v.name, v.controllerMap)
		if err == nil && v.articulation != "" {
			profile, err = profiles.Keep(profile, v.articulation)
		}
		if err != nil {
			return err
		}
		return curves(p, profile, v.curves, v.svg)
	}
	text, err := lib.ShowOrigins(v.name, v.controllerMap)
	if err != nil {
		return err
	}
	if v.articulation != "" {
		profile, err := lib.ResolveFor(v.name, v.controllerMap)
		if err == nil {
			_, err = profiles.Keep(profile, v.articulation)
		}
		if err != nil {
			return err
		}
		return fmt.Errorf("--articulation draws the curves of one way of playing; add --curves or --svg FILE: %w", usage.ErrUsage)
	}
	if !p.Settings.JSON {
		p.Warn(warnings)
		if !v.sources {
			text = []byte(WithoutSources(string(text)))
		}
		_, err = p.Out.Write(text)
		return err
	}
	chain, err := lib.Chain(v.name)
	if err != nil {
		return err
	}
	shown := struct {
		Name     string         `json:"name"`
		Of       []ListedSource `json:"of"` // the documents it was merged of, the strongest first
		Document string         `json:"document"`
		Warnings []string       `json:"warnings"`
	}{Name: v.name, Document: string(text), Warnings: append([]string{}, warnings...)}
	for _, d := range chain {
		shown.Of = append(shown.Of, ListedSource{d.Origin, d.File, d.Hash()})
	}
	return p.PrintJSON(shown)
}

// kindsOfDocument are the words for the kinds of documents; controller-map is an older one.
var kindsOfDocument = map[string]profiles.Kind{
	"profile": profiles.KindProfile, "seating": profiles.KindSeating, "controller-map": profiles.KindControllerMap, "player-map": profiles.KindControllerMap,
}

func schemaCommand(p *program.Program) *cobra.Command {
	words := []string{"profile", "seating", "controller-map"}
	return &cobra.Command{
		Use:   "schema [" + strings.Join(words, "|") + "]",
		Short: "write the JSON Schema by which editors complete and check a document",
		Args: func(c *cobra.Command, args []string) error {
			if err := usage.Between(0, 1, "at most one kind of document")(c, args); err != nil || len(args) == 0 {
				return err
			}
			if _, ok := kindsOfDocument[args[0]]; !ok {
				return usage.OneOf("the kind of document", args[0], words)
			}
			return nil
		},
		ValidArgs: words,
		RunE: func(_ *cobra.Command, args []string) error {
			kind := profiles.KindProfile
			if len(args) == 1 {
				kind = kindsOfDocument[args[0]]
			}
			b, err := profiles.Schema(kind)
			if err != nil {
				return err
			}
			_, err = p.Out.Write(b)
			return err
		},
	}
}
