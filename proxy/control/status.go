package control

import "swellbox/proxy/live"

// GET /status answers with the Status.
var statusCommand = asking(Command{
	Name:  "status",
	Short: "tell what the running swellbox is doing",
})

// Status asks for the status.
func (c *Client) Status() (live.Status, error) { return c.Ask(&statusCommand, nil) }
