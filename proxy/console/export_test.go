package console

// What the tests look at from outside.
var Chance = chance

// Patterns are the requests of the API that are served.
func Patterns() (patterns []string) {
	for _, r := range api(&feed{}, &guard{}) {
		patterns = append(patterns, r.pattern)
	}
	return patterns
}
