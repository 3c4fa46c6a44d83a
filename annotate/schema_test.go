package annotate_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"sideport/annotate"
	"sideport/timeline/source/yamldoc"
	"sideport/timeline/timelinetest"

	"github.com/invopop/jsonschema"
	validator "github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v4"
)

const schemaFile = "case.schema.json"

// schema is the JSON schema of case.yaml, made from the types of file.go: what the
// reader checks and what an editor is told come from one place.
func schema(t *testing.T) []byte {
	t.Helper()
	value := &jsonschema.Schema{Type: "object", AdditionalProperties: valueSchema()}
	r := &jsonschema.Reflector{
		ExpandedStruct: true, FieldNameTag: "yaml", Anonymous: true,
		Mapper: func(typ reflect.Type) *jsonschema.Schema {
			switch typ {
			case reflect.TypeFor[yamldoc.Text]():
				return &jsonschema.Schema{Type: "string"}
			case reflect.TypeFor[annotate.ValueKeys](), reflect.TypeFor[annotate.Measures]():
				return value
			}
			return nil
		},
	}
	raw, err := json.Marshal(r.Reflect(&annotate.File{}))
	if err != nil {
		t.Fatal(err)
	}
	var tree any
	if err := json.Unmarshal(raw, &tree); err != nil {
		t.Fatal(err)
	}
	loosen(tree)
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(tree); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// valueSchema is a recorded value in its short or long form, or an inner mapping
// such as acuity.
func valueSchema() *jsonschema.Schema {
	scalar := []*jsonschema.Schema{{Type: "string"}, {Type: "number"}, {Type: "boolean"}}
	return &jsonschema.Schema{AnyOf: append(scalar, &jsonschema.Schema{Type: "object"})}
}

// loosen lets every scalar be what YAML makes of it: 1 is a number there, no is a
// yes-or-no value, and a list of one may stand without its brackets.
func loosen(v any) {
	switch v := v.(type) {
	case []any:
		for _, x := range v {
			loosen(x)
		}
	case map[string]any:
		for _, x := range v {
			loosen(x)
		}
		if v["type"] == "string" {
			enum, closed := v["enum"].([]any)
			switch {
			case closed && len(enum) == 2 && enum[0] == "true":
				delete(v, "enum")
				v["type"] = "boolean"
			case !closed:
				v["type"] = []any{"string", "number", "boolean"}
			}
		}
	}
}

func TestSchemaIsCurrent(t *testing.T) {
	want := schema(t)
	if os.Getenv("UPDATE_GOLDEN") == "1" {
		if err := os.WriteFile(schemaFile, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(schemaFile)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s is out of date; UPDATE_GOLDEN=1 go test writes it", schemaFile)
	}
}

// The schema is read by an independent library, santhosh-tekuri/jsonschema v6
// (JSON Schema draft 2020-12).
func TestSchemaAcceptsTheDemosAndRefusesFaults(t *testing.T) {
	doc, err := validator.UnmarshalJSON(bytes.NewReader(schema(t)))
	if err != nil {
		t.Fatal(err)
	}
	c := validator.NewCompiler()
	if err := c.AddResource("case.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	compiled, err := c.Compile("case.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	demos, err := filepath.Glob(filepath.Join(timelinetest.Root(t), "testdata", "cases", "*", "case.yaml"))
	if err != nil || len(demos) < 3 {
		t.Fatalf("demos: %v, %v; want at least 3", demos, err)
	}
	for _, name := range demos {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := compiled.Validate(asJSON(t, raw)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	parts := "sideport: 1\ntitle: a\nprocedure: msics\nrecording: {files: [{video: op-1.mp4, times: op-1.txt, starts: \"09:12:00\"}, {video: op-2.mp4}]}\n"
	if err := compiled.Validate(asJSON(t, []byte(parts))); err != nil {
		t.Errorf("a recording in parts: %v", err)
	}
	for name, text := range map[string]string{
		"part's key":    "sideport: 1\ntitle: a\nprocedure: msics\nrecording: {files: [{file: op-1.mp4}]}\n",
		"unknown key":   "sideport: 1\ntitle: a\nprocedure: msics\ntitel: b\n",
		"unknown word":  "sideport: 1\ntitle: a\nprocedure: msics\npurpose: fun\n",
		"no title":      "sideport: 1\nprocedure: msics\n",
		"a step's key":  "sideport: 1\ntitle: a\nprocedure: msics\nsteps: [{step: peritomy, when: 1}]\n",
		"step is a map": "sideport: 1\ntitle: a\nprocedure: msics\nsteps: [{step: {}}]\n",
	} {
		if err := compiled.Validate(asJSON(t, []byte(text))); err == nil {
			t.Errorf("%s: the schema accepts it", name)
		}
	}
}

// asJSON is a YAML text as the values an editor would check.
func asJSON(t *testing.T, raw []byte) any {
	t.Helper()
	var v any
	if err := yaml.Load(raw, &v); err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	out, err := validator.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return out
}
