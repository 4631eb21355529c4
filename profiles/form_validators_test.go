package profiles

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// candidate is a document for another validator.
type candidate struct {
	Name     string `json:"name"`
	Kind     Kind   `json:"kind"`
	Document any    `json:"document"`
	text     string
}

// verdicts has an implementation of JSON Schema that is not ours judge documents
// by our published schemas: what is wrong with each, empty for nothing.
func verdicts(t *testing.T, documents []candidate) map[string]string {
	t.Helper()
	read := func(b []byte, err error) any {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	schemas := map[Kind]*jsonschema.Schema{}
	compiler := jsonschema.NewCompiler()
	for _, kind := range Kinds {
		if err := compiler.AddResource(string(kind), read(Schema(kind))); err != nil {
			t.Fatal(err)
		}
		schema, err := compiler.Compile(string(kind))
		if err != nil {
			t.Fatalf("the schema of a %s: %v", kind, err)
		}
		schemas[kind] = schema
	}
	found := map[string]string{}
	for _, d := range documents {
		found[d.Name] = ""
		if err := schemas[d.Kind].Validate(read(json.Marshal(d.Document))); err != nil {
			found[d.Name] = err.Error()
		}
	}
	return found
}

// verdictsOfAjv has ajv judge documents as [verdicts] does, and look at the schemas strictly.
func verdictsOfAjv(t *testing.T, documents []candidate) map[string]string {
	t.Helper()
	schemas := map[Kind]json.RawMessage{}
	for _, kind := range Kinds {
		b, err := Schema(kind)
		if err != nil {
			t.Fatal(err)
		}
		schemas[kind] = b
	}
	in, err := json.Marshal(map[string]any{"schemas": schemas, "documents": documents})
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command("node", filepath.Join("testdata", "validate.mjs"), ajvFolder(t))
	c.Stdin = bytes.NewReader(in)
	var complaints bytes.Buffer
	c.Stderr = &complaints
	out, err := c.Output()
	if err != nil {
		t.Fatalf("the other validator: %v\n%s", err, &complaints)
	}
	if complaints.Len() > 0 {
		t.Errorf("the other validator complains of a schema: %s", &complaints)
	}
	found := map[string]string{}
	if err := json.Unmarshal(out, &found); err != nil {
		t.Fatal(err)
	}
	if len(found) != len(documents) {
		t.Fatalf("%d verdicts on %d documents", len(found), len(documents))
	}
	return found
}

// ajvFolder is a folder where npm has installed ajv, kept from one run to the next.
// Without npm or its registry the test is skipped, but not where CI is set.
func ajvFolder(t *testing.T) string {
	t.Helper()
	const patience = 2 * time.Minute
	lacking := func(format string, args ...any) {
		t.Helper()
		if os.Getenv("CI") != "" {
			t.Fatalf(format, args...)
		}
		t.Skipf("NOT CHECKED by another validator: "+format, args...)
	}
	for _, tool := range []string{"npm", "node"} {
		if _, err := exec.LookPath(tool); err != nil { // npm, node
			lacking("%s is not installed: %v", tool, err)
		}
	}
	dir := filepath.Join(t.TempDir(), "ajv")
	if cache, err := os.UserCacheDir(); err == nil {
		dir = filepath.Join(cache, "swellbox-test", "ajv-8")
	}
	if _, err := os.Stat(filepath.Join(dir, "node_modules", "ajv", "dist", "2020.js")); err == nil {
		return dir
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), patience) // only a hang meets it
	defer cancel()
	out, err := exec.CommandContext(ctx, "npm", "install", "--no-audit", "--no-fund", "--prefix", dir, "ajv@8").CombinedOutput()
	if err != nil {
		lacking("npm cannot install ajv: %v\n%s", err, out)
	}
	return dir
}

// A second implementation judges as the first one does.
func TestSchemaByAjv(t *testing.T) {
	documents := append(goodDocuments(t), brokenDocuments(t)...)
	one, other := verdicts(t, documents), verdictsOfAjv(t, documents)
	for _, d := range documents {
		if (one[d.Name] == "") != (other[d.Name] == "") {
			t.Errorf("%s: one validator says %q, the other %q", d.Name, one[d.Name], other[d.Name])
		}
	}
}
