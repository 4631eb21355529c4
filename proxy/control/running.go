package control

import "fmt"

// running says that another daemon answers.
func running(path string) error {
	return fmt.Errorf("another swellbox is running and answers on %s; stop it, or name another control socket with --control", path)
}
