package control

import "swellbox/proxy/live"

// POST /panic has no request, and answers with the Status.
var panicCommand = ordering(Command{
	Name:  "panic",
	Short: "silence everything at once",
	Said:  func(*live.Status) string { return "silenced" },
}, func(d panicker) error {
	d.Panic()
	return nil
})

type panicker interface{ Panic() }

var _ panicker = (*live.Daemon)(nil)

// Panic silences every output.
func (c *Client) Panic() (live.Status, error) { return c.Ask(&panicCommand, nil) }
