package profiles

import "swellbox/profiles/reading"

// Check looks for profiles that the map speaks of and the library does not have,
// and resolves all those that it speaks of through the map.
func (m *ControllerMap) Check(l *Library) error {
	r := &reading.Reader{File: m.File}
	var errs []error
	profiles := reading.Child(m.root, "profiles")
	for i := 0; profiles != nil && i+1 < len(profiles.Content); i += 2 {
		at := profiles.Content[i]
		if _, ok := l.Lookup(at.Value); !ok {
			r.Fault(at, reading.Join("profiles", at.Value), "%v", l.unknown(at.Value))
		}
	}
	errs = append(errs, r.Err())
	for _, name := range l.Names() {
		if _, err := l.Resolve(name); err != nil {
			continue // broken without the map
		}
		_, err := l.resolve(name, m)
		errs = append(errs, err)
	}
	return gathered(errs)
}
