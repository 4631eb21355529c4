package share

import (
	"bufio"
	"context"
	"fmt"
	"net"
	"os"
	"os/exec"
	"strings"
	"testing"

	"swellbox/profiles/pack"
)

// TestMain lets a test run a server or a client in another network.
func TestMain(m *testing.M) {
	role := os.Getenv("SWELLBOX_TEST_ROLE")
	if role == "" {
		os.Exit(m.Run())
	}
	home, host := os.Getenv("SWELLBOX_TEST_HOME"), os.Getenv("SWELLBOX_TEST_HOST")
	var err error
	switch role {
	case "serve":
		err = Serve(context.Background(), home, host, func(a net.Addr) { fmt.Println(a) })
	case "pull":
		_, err = Pull(context.Background(), Request{Home: home, Host: host, Name: "winds", Options: pack.Options{Trust: pack.Key(os.Getenv("SWELLBOX_TEST_KEY"))}})
	}
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	os.Exit(0)
}

// networks makes two namespaces joined by a cable, with an address in each.
func networks(t *testing.T) (names, addresses [2]string) {
	t.Helper()
	if _, err := exec.LookPath("ip"); err != nil || os.Getuid() != 0 {
		t.Skip("making networks takes root and iproute2")
	}
	addresses = [2]string{"192.0.2.1", "192.0.2.2"} // RFC 5737: nobody's
	for i := range names {
		names[i] = fmt.Sprintf("swellbox-%d-%d", os.Getpid(), i)
		if out, err := exec.Command("ip", "netns", "add", names[i]).CombinedOutput(); err != nil {
			t.Skipf("this machine makes no networks: %v\n%s", err, out)
		}
		t.Cleanup(func() {
			if out, err := exec.Command("ip", "netns", "del", names[i]).CombinedOutput(); err != nil {
				t.Errorf("%v\n%s", err, out)
			}
		})
	}
	commands := []string{fmt.Sprintf("link add cable0 netns %s type veth peer name cable1 netns %s", names[0], names[1])}
	for i, n := range names {
		commands = append(commands,
			fmt.Sprintf("-n %s addr add %s/24 dev cable%d", n, addresses[i], i),
			fmt.Sprintf("-n %s link set cable%d up", n, i))
	}
	for _, c := range commands {
		if out, err := exec.Command("ip", strings.Fields(c)...).CombinedOutput(); err != nil {
			t.Fatalf("ip %s: %v\n%s", c, err, out)
		}
	}
	return names, addresses
}

// inNetwork is this test's program in another network, in a role of TestMain.
func inNetwork(network, role, home, host string, key pack.Key) *exec.Cmd {
	c := exec.Command("ip", "netns", "exec", network, os.Args[0])
	c.Env = append(os.Environ(), "SWELLBOX_TEST_ROLE="+role, "SWELLBOX_TEST_HOME="+home, "SWELLBOX_TEST_HOST="+host, "SWELLBOX_TEST_KEY="+string(key))
	return c
}

func TestTwoNetworks(t *testing.T) {
	names, addresses := networks(t)
	anna, thief, user := newHouse(t), newHouse(t), newHouse(t)
	p := newPackage(t, "winds", "1.0.0", "Anna Example", 100_000)
	anna.install(t, p)
	thief.install(t, newPackage(t, "winds", "1.1.0", "Anna Example", 100))
	serve := func(h *house, port string) string {
		s := inNetwork(names[0], "serve", h.home, addresses[0]+":"+port, "")
		out, err := s.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Start(); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { s.Process.Kill(); s.Wait() }) // ip has become the server
		line, err := bufio.NewReader(out).ReadString('\n')
		if err != nil {
			t.Fatal(err)
		}
		return strings.TrimSpace(line)
	}
	if out, err := inNetwork(names[1], "pull", user.home, serve(anna, "7717"), anna.key.Public()).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	wantInstalled(t, user.home, p)
	out, err := inNetwork(names[1], "pull", user.home, serve(thief, "7718"), thief.key.Public()).CombinedOutput()
	if err == nil || !strings.Contains(string(out), "THE KEY HAS CHANGED") {
		t.Errorf("of another key: %v\n%s", err, out)
	}
}
