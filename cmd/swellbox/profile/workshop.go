package profile

import (
	"swellbox/cmd/swellbox/program"
	"swellbox/profiles"
	"swellbox/profiles/change"
)

// Workshop is where the page reads, tries and saves profiles: as the commands do.
type Workshop struct{ p *program.Program }

// NewWorkshop is that of a run of the program.
func NewWorkshop(p *program.Program) *Workshop { return &Workshop{p} }

// Draft is the document of a profile as it would be saved, and its file.
func (w *Workshop) Draft(lib *profiles.Library, name string) (content []byte, where string, err error) {
	d, err := draftOf(w.p, lib, name)
	if err != nil {
		return nil, "", err
	}
	content, _, err = change.Update(d.content)
	return content, d.path(), err
}

// Try is the library with other content of that document, and what it changes.
func (w *Workshop) Try(lib *profiles.Library, name string, content []byte) (*profiles.Library, []change.Line, error) {
	d, err := draftOf(w.p, lib, name)
	if err != nil {
		return nil, nil, err
	}
	changes, err := consequences(lib, d, content)
	if err != nil {
		return nil, nil, err
	}
	f, err := profiles.ParseAny(d.path(), content)
	if err != nil {
		return nil, nil, err
	}
	after, err := instead(lib, d.path(), f)
	return after, changes, err
}

// Save writes it as a new version, with a note.
func (w *Workshop) Save(lib *profiles.Library, name string, content []byte, note string) error {
	d, err := draftOf(w.p, lib, name)
	if err != nil {
		return err
	}
	_, err = save(w.p, lib, d, content, note)
	return err
}
