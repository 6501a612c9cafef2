package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"go.yaml.in/yaml/v4"
)

// firstExample returns the first example input of an operation, as it stands in
// the contract, as JSON a person can edit. The document is walked node by node:
// decoded into maps, the order of examples and members would be lost.
func firstExample(contract []byte, operation string) ([]byte, error) {
	var doc yaml.Node
	if err := yaml.Unmarshal(contract, &doc); err != nil {
		return nil, fmt.Errorf("contract: %w", err)
	}
	post := member(member(doc.Content[0], "paths"), "/v1/"+operation)
	examples := member(member(member(member(member(post, "post"), "requestBody"), "content"), "application/json"), "examples")
	if post == nil {
		return nil, fmt.Errorf("no operation is named %q; `pintail run --list` names them", operation)
	}
	if examples == nil || len(examples.Content) < 2 {
		return nil, fmt.Errorf("%s has no example", operation)
	}
	var compact, indented bytes.Buffer
	if err := writeJSON(&compact, member(examples.Content[1], "value")); err != nil {
		return nil, fmt.Errorf("the example of %s: %w", operation, err)
	}
	if err := json.Indent(&indented, compact.Bytes(), "", "  "); err != nil {
		return nil, fmt.Errorf("the example of %s: %w", operation, err)
	}
	return indented.Bytes(), nil
}

// member is the value of a mapping under a name, nil where there is none.
func member(n *yaml.Node, name string) *yaml.Node {
	if n == nil || n.Kind != yaml.MappingNode {
		return nil
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == name {
			return n.Content[i+1]
		}
	}
	return nil
}

// writeJSON writes a node as JSON, members in their own order.
func writeJSON(b *bytes.Buffer, n *yaml.Node) error {
	switch {
	case n == nil:
		return fmt.Errorf("it has no value")
	case n.Kind == yaml.MappingNode:
		return writeObject(b, n)
	case n.Kind == yaml.SequenceNode:
		return writeArray(b, n)
	case n.Kind == yaml.ScalarNode:
		return writeScalar(b, n)
	}
	return fmt.Errorf("line %d: neither a mapping, a sequence nor a scalar", n.Line)
}

func writeObject(b *bytes.Buffer, n *yaml.Node) error {
	b.WriteByte('{')
	for i := 0; i+1 < len(n.Content); i += 2 {
		if i > 0 {
			b.WriteByte(',')
		}
		name, err := json.Marshal(n.Content[i].Value)
		if err != nil {
			return err
		}
		b.Write(name)
		b.WriteByte(':')
		if err := writeJSON(b, n.Content[i+1]); err != nil {
			return err
		}
	}
	b.WriteByte('}')
	return nil
}

func writeArray(b *bytes.Buffer, n *yaml.Node) error {
	b.WriteByte('[')
	for i, item := range n.Content {
		if i > 0 {
			b.WriteByte(',')
		}
		if err := writeJSON(b, item); err != nil {
			return err
		}
	}
	b.WriteByte(']')
	return nil
}

func writeScalar(b *bytes.Buffer, n *yaml.Node) error {
	var v any
	if err := n.Decode(&v); err != nil {
		return err
	}
	// A number keeps the form it has in the contract where JSON knows it.
	if strings.HasSuffix(n.ShortTag(), "int") || strings.HasSuffix(n.ShortTag(), "float") {
		if json.Valid([]byte(n.Value)) {
			b.WriteString(n.Value)
			return nil
		}
	}
	out, err := json.Marshal(v)
	b.Write(out)
	return err
}
