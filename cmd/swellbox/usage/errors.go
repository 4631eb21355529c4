package usage

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"swellbox/cmd/swellbox/tell"
	"swellbox/profiles/reading"
)

// ErrUsage marks an error after which the help of the command helps more than the
// sentence; the status is then [statusMisused].
var ErrUsage = errors.New("see swellbox help")

// FlagError says in our words what is wrong with a flag.
func FlagError(c *cobra.Command, err error) error {
	var (
		unknown *pflag.NotExistError
		missing *pflag.ValueRequiredError
		wrong   *pflag.InvalidValueError
	)
	switch {
	case errors.As(err, &unknown):
		name := unknown.GetSpecifiedName()
		if short := unknown.GetSpecifiedShortnames(); short != "" {
			return fmt.Errorf("%s has no flag -%s: %w", c.CommandPath(), short[:1], ErrUsage)
		}
		near := ""
		var known []string
		c.Flags().VisitAll(func(f *pflag.Flag) {
			if !f.Hidden {
				known = append(known, f.Name)
			}
		})
		if n, ok := reading.Nearest(name, known); ok {
			near = "; did you mean --" + n + "?"
		}
		return fmt.Errorf("%s has no flag --%s%s: %w", c.CommandPath(), name, near, ErrUsage)
	case errors.As(err, &missing):
		return fmt.Errorf("--%s needs a value after it: %w", missing.GetFlag().Name, ErrUsage)
	case errors.As(err, &wrong):
		return fmt.Errorf("--%s is %q; it must be %s: %w", wrong.GetFlag().Name, wrong.GetValue(), kinds[wrong.GetFlag().Value.Type()], ErrUsage)
	}
	return fmt.Errorf("%w: %w", err, ErrUsage)
}

// kinds says what a flag of a type can be.
var kinds = map[string]string{
	"bool": "true or false", "int": "a whole number", "uint64": "a whole number, 0 or more", "float64": "a number", "duration": "a time such as 500ms",
	"stringSlice": "a list separated by commas",
}

// UnknownCommand says that there is no such command, and which was perhaps meant.
func UnknownCommand(c *cobra.Command, word string) error {
	known := Names(c)
	if near, ok := reading.Nearest(word, known); ok {
		return fmt.Errorf("there is no command %s; did you mean %s %s?: %w", word, c.CommandPath(), near, ErrUsage)
	}
	return fmt.Errorf("there is no command %s; the commands are %s: %w", word, tell.InWords(known, "and"), ErrUsage)
}
