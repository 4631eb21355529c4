package profiles

import "swellbox/profiles/reading"

// File is what a file holds: one of the kinds of documents, of which the others
// are nil.
type File struct {
	Profile       *Document
	ControllerMap *ControllerMap
	Seating       *Seating
}

// Renamed are the keys of the document that have other names now.
func (f *File) Renamed() Problems {
	switch {
	case f.Profile != nil:
		return f.Profile.Renamed
	case f.ControllerMap != nil:
		return f.ControllerMap.Renamed
	case f.Seating != nil:
		return f.Seating.Renamed
	}
	return nil
}

// ReadFile reads a document of any kind. A seating is known by its seats, a
// controller map by controller_map; what has neither is read as a profile.
func ReadFile(name string) (File, error) {
	b, err := reading.ReadFile(name)
	if err != nil {
		return File{}, err
	}
	return ParseAny(name, b)
}

// ParseAny reads a document of any kind, see [ReadFile]. An error is of type [Problems].
func ParseAny(file string, b []byte) (f File, err error) {
	r := &reading.Reader{File: file}
	root, told := document(r, b)
	switch {
	case root == nil:
		err = r.Err()
	case reading.Child(root, "seats") != nil:
		f.Seating, err = readSeating(r, root, told)
	case reading.Child(root, "controller_map") != nil:
		f.ControllerMap, err = readControllerMap(r, root, told, b)
	default:
		f.Profile, err = readProfile(r, root, told, b)
	}
	return f, err
}
