package main

import (
	"bytes"
	"crypto/sha256"
	"debug/buildinfo"
	"encoding/json"
	"fmt"
	"strings"
	"time"
)

// The words of SPDX 2.3 (ISO/IEC 5962:2021 is its version 2.2.1), as JSON.
type (
	spdx struct {
		Version       string         `json:"spdxVersion"`
		License       string         `json:"dataLicense"`
		ID            string         `json:"SPDXID"`
		Name          string         `json:"name"`
		Namespace     string         `json:"documentNamespace"`
		Creation      spdxCreation   `json:"creationInfo"`
		Packages      []spdxPackage  `json:"packages"`
		Relationships []spdxRelation `json:"relationships"`
	}
	spdxCreation struct {
		Created  string   `json:"created"`
		Creators []string `json:"creators"`
	}
	spdxPackage struct {
		ID        string         `json:"SPDXID"`
		Name      string         `json:"name"`
		Version   string         `json:"versionInfo"`
		Location  string         `json:"downloadLocation"`
		Analyzed  bool           `json:"filesAnalyzed"`
		Concluded string         `json:"licenseConcluded"`
		Declared  string         `json:"licenseDeclared"`
		Copyright string         `json:"copyrightText"`
		Sums      []spdxSum      `json:"checksums,omitempty"`
		Refs      []spdxExternal `json:"externalRefs,omitempty"`
	}
	spdxSum struct {
		Algorithm string `json:"algorithm"`
		Value     string `json:"checksumValue"`
	}
	spdxExternal struct {
		Category string `json:"referenceCategory"`
		Type     string `json:"referenceType"`
		Locator  string `json:"referenceLocator"`
	}
	spdxRelation struct {
		From string `json:"spdxElementId"`
		Type string `json:"relationshipType"`
		To   string `json:"relatedSpdxElement"`
	}
)

// none is SPDX's word for what is not said here: the licences themselves lie beside the bill.
const none = "NOASSERTION"

// bill lists what a program was built from, as the program itself says.
func (v version) bill(t target, program []byte) ([]byte, error) {
	info, err := buildinfo.Read(bytes.NewReader(program))
	if err != nil {
		return nil, fmt.Errorf("the program for %s does not say what it was built from: %w", t, err)
	}
	sum := sha256.Sum256(program)
	const root = "SPDXRef-swellbox"
	d := spdx{
		Version: "SPDX-2.3", License: "CC0-1.0", ID: "SPDXRef-DOCUMENT",
		Name:      fmt.Sprintf("swellbox %s for %s", v.name, t),
		Namespace: fmt.Sprintf("urn:swellbox:%s:%s-%s:%x", v.name, t.os, t.arch, sum[:8]),
		Creation:  spdxCreation{v.at.Format(time.RFC3339), []string{"Tool: swellbox cmd/release"}},
		Packages: []spdxPackage{{
			ID: root, Name: "swellbox", Version: v.name, Location: none, Concluded: none, Declared: none, Copyright: none,
			Sums: []spdxSum{{"SHA256", fmt.Sprintf("%x", sum)}},
		}},
		Relationships: []spdxRelation{{"SPDXRef-DOCUMENT", "DESCRIBES", root}},
	}
	depend := func(name, version, locator string) {
		id := "SPDXRef-" + strings.Map(func(r rune) rune {
			if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '.' {
				return r
			}
			return '-'
		}, name)
		d.Packages = append(d.Packages, spdxPackage{
			ID: id, Name: name, Version: version, Location: none, Concluded: none, Declared: none, Copyright: none,
			Refs: []spdxExternal{{"PACKAGE-MANAGER", "purl", locator}},
		})
		d.Relationships = append(d.Relationships, spdxRelation{root, "DEPENDS_ON", id})
	}
	depend("go", strings.TrimPrefix(info.GoVersion, "go"), "pkg:generic/go@"+strings.TrimPrefix(info.GoVersion, "go"))
	depend("lame", "3.100", "pkg:generic/lame@3.100") // in proxy/formats/mp3
	for _, m := range info.Deps {
		if m.Replace != nil {
			m = m.Replace
		}
		depend(m.Path, m.Version, "pkg:golang/"+m.Path+"@"+m.Version)
	}
	b, err := json.MarshalIndent(d, "", "  ")
	return append(b, '\n'), err
}
