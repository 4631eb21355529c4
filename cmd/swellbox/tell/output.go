// Package tell prints: sentences, tables, JSON, progress, warnings, and errors in plain words, all
// at the width of the terminal. It knows no command and no setting.
package tell

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/rs/zerolog"
)

// Output is where a run reads from and writes to, and in which form.
type Output struct {
	In       io.Reader
	Out, Err io.Writer
	AsJSON   bool // errors, warnings and progress are JSON too
}

// Complain says what went wrong, with which status the run ends, and whose help says more.
func (o *Output) Complain(text string, status int, see string) {
	if o.AsJSON {
		o.sayJSON(struct {
			Error  string `json:"error"`
			Status int    `json:"status"`
			See    string `json:"see,omitempty"`
		}{text, status, see})
		return
	}
	switch {
	case see != "" && strings.HasSuffix(text, "?"):
		text += " See " + see
	case see != "":
		text += "; see " + see
	}
	fmt.Fprintf(o.Err, "swellbox: %s\n", text)
}

// Warn says what went on all the same; with --json a line each, as {"warning": …}.
func (o *Output) Warn(warnings []string) {
	for _, w := range warnings {
		if o.AsJSON {
			o.sayJSON(struct {
				Warning string `json:"warning"`
			}{w})
		} else {
			fmt.Fprintf(o.Err, "swellbox: warning: %s\n", w)
		}
	}
}

// sayJSON writes one line to the error side.
func (o *Output) sayJSON(v any) {
	enc := json.NewEncoder(o.Err)
	enc.SetEscapeHTML(false)
	enc.Encode(v) // an error here has nowhere to be told
}

// PrintJSON prints what scripts read.
func (o *Output) PrintJSON(v any) error {
	enc := json.NewEncoder(o.Out)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}

// Note says on the error side what is no warning.
func (o *Output) Note(text string) {
	if o.AsJSON {
		o.sayJSON(struct {
			Note string `json:"note"`
		}{text})
		return
	}
	fmt.Fprintf(o.Err, "swellbox: %s\n", text)
}

// Logger writes to the error side, readable for people, what is of the least level or more:
// debug, info, warn or error.
func (o *Output) Logger(least string) zerolog.Logger {
	level, err := zerolog.ParseLevel(least)
	if err != nil {
		level = zerolog.InfoLevel
	}
	if o.AsJSON {
		return zerolog.New(o.Err).Level(level).With().Timestamp().Logger()
	}
	out := zerolog.ConsoleWriter{Out: o.Err, NoColor: true, TimeFormat: "15:04:05"}
	return zerolog.New(out).Level(level).With().Timestamp().Logger()
}
